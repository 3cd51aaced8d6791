/** Why a line, or a value in it, was not taken. */
const REFUSAL_WORDS = {
  'not-json': 'not a JSON object',
  'too-long': 'line too long',
  'wrong-type': 'a field is missing or of the wrong type',
  'unknown-unit': 'unknown unit',
  'wrong-file': 'belongs into another file',
  'invalid-time': 'invalid time',
  'unknown-action': 'unknown action',
  implausible: 'implausible value, channel dropped',
} as const;
export type RefusalReason = keyof typeof REFUSAL_WORDS;

/** Lines of each reason and file that are named one by one; the rest only count. */
export const NAMED_MOST = 20;
/** Characters of a value that a message quotes. */
const QUOTE_MOST_CHARACTERS = 60;

interface Tally {
  count: number;
  readonly named: string[];
}

/** What was refused of one input, by reason. */
export class Refusals {
  readonly #file: string;
  readonly #byReason: Map<RefusalReason, Tally> = new Map();

  /** @param file the input's name, for messages. */
  constructor(file: string) {
    this.#file = file;
  }

  /** `detail` is asked only for what is named. */
  add(reason: RefusalReason, line: number, detail: () => string): void {
    let tally = this.#byReason.get(reason);
    if (tally === undefined) {
      tally = { count: 0, named: [] };
      this.#byReason.set(reason, tally);
    }
    tally.count += 1;
    if (tally.named.length >= NAMED_MOST) return;
    tally.named.push(`${this.#file}:${line}: ${REFUSAL_WORDS[reason]}: ${detail()}`);
  }

  /** Lines that were not taken; implausible values alone do not count. */
  get lines(): number {
    let lines = 0;
    for (const [reason, { count }] of this.#byReason) if (reason !== 'implausible') lines += count;
    return lines;
  }

  /** What to tell: the first of each reason with its line number, then how many there were. */
  report(): readonly string[] {
    const reasons = Object.keys(REFUSAL_WORDS) as RefusalReason[];
    return reasons.flatMap((reason) => {
      const tally = this.#byReason.get(reason);
      if (tally === undefined) return [];
      const things = reason === 'implausible' ? 'value' : 'line';
      const total = `${tally.count} ${things}${tally.count === 1 ? '' : 's'}`;
      return [...tally.named, `${this.#file}: ${total} in all: ${REFUSAL_WORDS[reason]}`];
    });
  }
}

/** A value from a line, shortened and free of control characters. */
export function quote(value: unknown): string {
  if (value === undefined) return 'nothing';
  const words = JSON.stringify(value);
  return words.length > QUOTE_MOST_CHARACTERS ? `${words.slice(0, QUOTE_MOST_CHARACTERS)}…` : words;
}
