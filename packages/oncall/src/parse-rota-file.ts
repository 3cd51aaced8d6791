import type { z } from 'zod';
import { firstMistake } from './check-rota.ts';
import type { Rota } from './rota.ts';
import { placeWords, RotaFileError } from './rota-file-error.ts';
import { rotaFile } from './rota-schema.ts';
import { parseRotaYaml, type RotaYaml } from './rota-yaml.ts';

/** Characters of a value that a message quotes. */
const FOUND_MOST_CHARACTERS = 60;

/**
 * Reads a rota file, YAML or JSON, and fills in the defaults. Whether anybody is on call all the
 * time, and whether each site has a team, is another question: see `reviewRota` and `reviewSites`.
 *
 * @param text the content of the file.
 * @param fileName only for messages.
 * @throws RotaFileError whose message has the file, line and column, the place such as
 *   `teams[0].first[1].from`, what was expected there and what was found.
 */
export function parseRotaFile(text: string, fileName: string): Rota {
  return checked(parseRotaYaml(text, fileName), fileName);
}

/**
 * The same from a value, such as a rota that a record store kept as JSON.
 *
 * @param name says in messages what it is.
 * @throws RotaFileError likewise, without line and column.
 */
export function parseRota(value: unknown, name: string): Rota {
  return checked({ value, position: () => '' }, name);
}

function checked(yaml: RotaYaml, fileName: string): Rota {
  const parsed = rotaFile.safeParse(yaml.value);
  if (!parsed.success) throw schemaError(parsed.error.issues, yaml, fileName);
  const mistake = firstMistake(parsed.data);
  if (mistake !== null) throw wrong(fileName, yaml, mistake.path, mistake.words);
  return parsed.data;
}

function schemaError(
  issues: readonly z.core.$ZodIssue[],
  yaml: RotaYaml,
  fileName: string,
): RotaFileError {
  const [outer] = issues;
  const issue = outer === undefined ? undefined : deepest(outer);
  if (issue === undefined) return new RotaFileError(fileName, '', 'it is not a rota file');
  const others = issues.length - 1;
  const more =
    others === 0 ? '' : `\n${others} more ${others === 1 ? 'mistake follows' : 'mistakes follow'}`;
  // The place of a wrong key is the key itself.
  const key = issue.code === 'unrecognized_keys' ? issue.keys[0] : undefined;
  const path = key === undefined ? issue.path : [...issue.path, key];
  const found = key === undefined ? foundWords(valueAt(yaml.value, path)) : `the key ${key}`;
  return wrong(fileName, yaml, path, `expected ${issue.message}, found ${found}${more}`);
}

/** Of what could be one thing or another, the mistake in the one that fits furthest. */
function deepest(issue: z.core.$ZodIssue): z.core.$ZodIssue {
  if (issue.code !== 'invalid_union') return issue;
  const inner = issue.errors.flatMap(([first]) => (first === undefined ? [] : [deepest(first)]));
  const best = inner.toSorted((a, b) => b.path.length - a.path.length)[0];
  if (best === undefined || best.path.length === 0) return issue;
  return { ...best, path: [...issue.path, ...best.path] };
}

function wrong(
  fileName: string,
  yaml: RotaYaml,
  path: readonly PropertyKey[],
  words: string,
): RotaFileError {
  const position = yaml.position(path);
  const place = position === '' ? fileName : `${fileName}:${position}`;
  return new RotaFileError(place, placeWords(path), words);
}

function valueAt(value: unknown, path: readonly PropertyKey[]): unknown {
  let at = value;
  for (const step of path) {
    if (typeof at !== 'object' || at === null || !Object.hasOwn(at, step)) return undefined;
    at = Reflect.get(at, step);
  }
  return at;
}

function foundWords(value: unknown): string {
  if (value === undefined || value === null) return 'nothing';
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object') return 'a section';
  const words = typeof value === 'string' ? JSON.stringify(value) : String(value);
  const clipped =
    words.length > FOUND_MOST_CHARACTERS ? `${words.slice(0, FOUND_MOST_CHARACTERS)}…` : words;
  return typeof value === 'string' ? `the text ${clipped}` : `${typeof value} ${clipped}`;
}
