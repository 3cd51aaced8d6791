import { LineCounter, parseDocument } from 'yaml';
import { RotaFileError } from './rota-file-error.ts';

/** 4 million characters: some 20,000 covers, a large company's of decades. */
const ROTA_FILE_MOST_CHARACTERS = 4_000_000;

/** Nodes that one alias may stand for in all; guards against aliases of aliases of aliases. */
const MOST_ALIASED_NODES = 1000;

/** The values of a rota file, and where in the text each of them stands. */
export interface RotaYaml {
  readonly value: unknown;
  /** `line:column` of the value at the path, or of the nearest part that exists; '' if none. */
  position(path: readonly PropertyKey[]): string;
}

/**
 * Reads YAML 1.2, of which JSON is a part. Keys given twice are refused.
 *
 * @throws RotaFileError with line and column.
 */
export function parseRotaYaml(text: string, fileName: string): RotaYaml {
  if (text.length > ROTA_FILE_MOST_CHARACTERS) {
    const words = `it has ${text.length} characters, at most ${ROTA_FILE_MOST_CHARACTERS}`;
    throw new RotaFileError(fileName, '', words);
  }
  const lines = new LineCounter();
  const at = (offset: number): string => {
    const { line, col } = lines.linePos(offset);
    return `${line}:${col}`;
  };
  try {
    const document = parseDocument(text, {
      lineCounter: lines,
      prettyErrors: false,
      stringKeys: true,
      version: '1.2',
    });
    const [error] = document.errors;
    if (error !== undefined) {
      const words = error.message.split('\n', 1)[0] ?? '';
      throw new RotaFileError(`${fileName}:${at(error.pos[0])}`, '', words);
    }
    return {
      value: document.toJS({ maxAliasCount: MOST_ALIASED_NODES }) as unknown,
      position: (path) => {
        for (let length = path.length; length >= 0; length--) {
          const node: unknown = document.getIn(path.slice(0, length), true);
          if (hasRange(node)) return at(node.range[0]);
        }
        return '';
      },
    };
  } catch (error) {
    if (error instanceof RotaFileError) throw error;
    // Aliases beyond the limit, or lists nested beyond the stack.
    const words = error instanceof Error ? error.message.split('\n', 1)[0] : String(error);
    throw new RotaFileError(fileName, '', `it cannot be read: ${words}`);
  }
}

function hasRange(node: unknown): node is { readonly range: readonly [number, number, number] } {
  return typeof node === 'object' && node !== null && 'range' in node && Array.isArray(node.range);
}
