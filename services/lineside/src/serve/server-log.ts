import { type DestinationStream, type Logger, type LoggerOptions, pino } from 'pino';

/** Lines of one wording that may come at once: enough to name the first units of a few. */
const AT_ONCE = 10;

/** Then one such line a second: what repeats says nothing new, and a log must not fill the disk. */
const APART_MS = 1_000;

/** Wordings that are kept apart; beyond it the oldest is forgotten. */
const MOST_WORDINGS = 500;

/** pino's number of the level `warn`. */
const WARN = 40;

interface Wording {
  left: number;
  atMs: number;
  unsaid: number;
}

/** Which lines of warn and above are said, by their wording. */
export class Repetitions {
  readonly #wordings = new Map<string, Wording>();

  /** Null: it is not said. Else how many of the same were not said before it. */
  say(words: string, nowMs: number): number | null {
    const one = this.#wordings.get(words) ?? { left: AT_ONCE, atMs: nowMs, unsaid: 0 };
    this.#keep(words, one);
    const back = Math.floor((nowMs - one.atMs) / APART_MS);
    if (back > 0) {
      one.left = Math.min(AT_ONCE, one.left + back);
      one.atMs += back * APART_MS;
    }
    if (one.left === 0) {
      one.unsaid += 1;
      return null;
    }
    one.left -= 1;
    const { unsaid } = one;
    one.unsaid = 0;
    return unsaid;
  }

  #keep(words: string, one: Wording): void {
    this.#wordings.delete(words);
    this.#wordings.set(words, one);
    const [oldest] = this.#wordings.keys();
    if (this.#wordings.size > MOST_WORDINGS && oldest !== undefined) this.#wordings.delete(oldest);
  }
}

/**
 * The log of a server: JSON, a line each, on standard error; `part` says whose it is, `house` what
 * holds the services together. Lines of warn and above that repeat
 * come once a second at most; `unsaid` counts those that were left out before one.
 */
export function serverLog(
  level: LoggerOptions['level'] & string,
  destination: DestinationStream = pino.destination(2),
): Logger {
  const repetitions = new Repetitions();
  return pino(
    {
      level,
      mixin: (_fields, _level, logger) => ('part' in logger.bindings() ? {} : { part: 'house' }),
      hooks: {
        logMethod(args, method, number) {
          if (number < WARN) {
            method.apply(this, args);
            return;
          }
          const [about, words]: unknown[] = args;
          const text = typeof about === 'string' ? about : String(words ?? '');
          const unsaid = repetitions.say(text, performance.now());
          if (unsaid === null) return;
          const fields = typeof about === 'object' && about !== null ? about : {};
          const said = unsaid === 0 ? fields : { ...fields, unsaid };
          method.apply(this, [said, text]);
        },
      },
    },
    destination,
  );
}
