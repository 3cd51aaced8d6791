/** Where in a case file something stands. */
export interface Place {
  readonly file: string;
  /** From 1. */
  readonly line: number;
}

/** A case that cannot be read: where, what was wrong, and what may stand there. */
export class CaseError extends Error {
  constructor({ file, line }: Place, wrong: string, allowed: string) {
    super(`${file}, line ${line}: ${wrong}. Allowed here: ${allowed}`);
    this.name = 'CaseError';
  }
}

/** `words` as they are offered in an error: `idle`, `running`, `dead`. */
export function offered(words: readonly string[]): string {
  return words.map((word) => `'${word}'`).join(', ');
}
