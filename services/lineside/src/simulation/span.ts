import { CommandFailure, EXIT } from '../failure.ts';

export const MS_PER_DAY = 86_400_000;

/** Simulated nodes report this often once their history is sent; real ones each minute. */
export const LIVE_INTERVAL_MS = 15_000;

/** An option that is a whole number; throws `CommandFailure` that names it. */
export function wholeNumber(
  option: string,
  text: string,
  [lowest, highest]: readonly [number, number],
): number {
  const value = text.trim() === '' ? Number.NaN : Number(text);
  if (Number.isInteger(value) && value >= lowest && value <= highest) return value;
  throw new CommandFailure(
    EXIT.badInput,
    `${option}: expected a whole number from ${lowest} to ${highest}, found '${text}'`,
  );
}
