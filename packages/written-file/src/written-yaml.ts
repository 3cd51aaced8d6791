import { LineCounter, parseDocument, type YAMLParseError } from 'yaml';
import { WrittenFileError } from './written-file-error.ts';

/** Nodes that one alias may stand for in all; guards against aliases of aliases of aliases. */
const MOST_ALIASED_NODES = 1000;

/** The values of a file, and where in the text each of them stands. */
export interface WrittenYaml {
  readonly value: unknown;
  /** `line:column` of the value at the path, or of the nearest part that exists; '' if none. */
  position(path: readonly PropertyKey[]): string;
}

/**
 * Reads YAML 1.2, of which JSON is a part. Keys given twice are refused.
 *
 * @param fileName only for messages.
 * @param mostCharacters a longer text is refused before it is read.
 * @throws WrittenFileError with line and column.
 */
export function parseWrittenYaml(
  text: string,
  fileName: string,
  mostCharacters: number,
): WrittenYaml {
  if (text.length > mostCharacters) {
    const words = `it has ${text.length} characters, at most ${mostCharacters}`;
    throw new WrittenFileError(fileName, '', words);
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
      throw new WrittenFileError(`${fileName}:${at(error.pos[0])}`, '', syntaxWords(error));
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
    if (error instanceof WrittenFileError) throw error;
    // Aliases beyond the limit, or lists nested beyond the stack.
    const words = error instanceof Error ? firstLine(error.message) : String(error);
    throw new WrittenFileError(fileName, '', `it cannot be read: ${words}`);
  }
}

function hasRange(node: unknown): node is { readonly range: readonly [number, number, number] } {
  return typeof node === 'object' && node !== null && 'range' in node && Array.isArray(node.range);
}

function syntaxWords(error: YAMLParseError): string {
  return error.code === 'MULTIPLE_DOCS'
    ? 'expected one document, a second one begins here'
    : firstLine(error.message);
}

function firstLine(words: string): string {
  return words.split('\n', 1)[0] ?? '';
}
