import type { z } from 'zod';
import { WrittenFileError } from './written-file-error.ts';
import type { WrittenYaml } from './written-yaml.ts';

/** Characters of a value that a message quotes. */
const FOUND_MOST_CHARACTERS = 60;

/** A mistake at a path of the file, with line and column where the text has them. */
export function mistakeAt(
  fileName: string,
  yaml: WrittenYaml,
  path: readonly PropertyKey[],
  words: string,
): WrittenFileError {
  const position = yaml.position(path);
  const place = position === '' ? fileName : `${fileName}:${position}`;
  return new WrittenFileError(place, placeWords(path), words);
}

/**
 * The first of what a schema found wrong: what was expected there, what was found, and how many
 * mistakes follow. A message of the schema says what is expected.
 *
 * @param kind says what the file was to be: `a fleet file`.
 */
export function schemaMistake(
  issues: readonly z.core.$ZodIssue[],
  yaml: WrittenYaml,
  fileName: string,
  kind: string,
): WrittenFileError {
  const [outer] = issues;
  if (outer === undefined) return new WrittenFileError(fileName, '', `it is not ${kind}`);
  const issue = deepest(outer);
  const others = issues.length - 1;
  const more =
    others === 0 ? '' : `\n${others} more ${others === 1 ? 'mistake follows' : 'mistakes follow'}`;
  // The place of a wrong key is the key itself.
  const key = issue.code === 'unrecognized_keys' ? issue.keys[0] : undefined;
  const path = key === undefined ? issue.path : [...issue.path, key];
  const found = key === undefined ? foundWords(valueAt(yaml.value, path)) : `the key ${key}`;
  return mistakeAt(fileName, yaml, path, `expected ${issue.message}, found ${found}${more}`);
}

/** Of what could be one thing or another, the mistake in the one that fits furthest. */
function deepest(issue: z.core.$ZodIssue): z.core.$ZodIssue {
  if (issue.code !== 'invalid_union') return issue;
  const inner = issue.errors.flatMap(([first]) => (first === undefined ? [] : [deepest(first)]));
  const best = inner.toSorted((a, b) => b.path.length - a.path.length)[0];
  if (best === undefined || best.path.length === 0) return issue;
  return { ...best, path: [...issue.path, ...best.path] };
}

/** `['sites', 0, 'units', 3, 'supply']` as `sites[0].units[3].supply`. */
function placeWords(path: readonly PropertyKey[]): string {
  let words = '';
  for (const step of path) {
    if (typeof step === 'number') words += `[${step}]`;
    else words += words === '' ? String(step) : `.${String(step)}`;
  }
  return words;
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
