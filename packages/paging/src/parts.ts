/**
 * Work that can rest between its parts, so that a thread with other duties goes on with those. What
 * comes of it does not depend on whether and how long it rests.
 */
export type InParts<T> = Generator<undefined, T, undefined>;

/** Does all of the work without a rest. */
export function allAtOnce<T>(parts: InParts<T>): T {
  let part = parts.next();
  while (part.done !== true) part = parts.next();
  return part.value;
}

/**
 * Work of one part, in alarms that are asked for: a few milliseconds by measurement, so that with
 * what is around it the thread is held for less than 50 ms.
 */
const PART_MOST = 50;

/** Counts work until a part is full. */
export class PartCount {
  #done = 0;

  /** Adds work; true when a rest is due. */
  fills(work: number): boolean {
    this.#done += work;
    if (this.#done < PART_MOST) return false;
    this.#done = 0;
    return true;
  }
}
