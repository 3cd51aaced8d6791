import type { LiveEvent } from './live-event.ts';

/** Events of one type to one listener within a second; above it only the newest a unit is sent. */
const LANE_MOST_EVENTS_PER_SECOND = 200;

/** Events of one type on their way to one listener. */
export class EventLane {
  /** Newest by unit, in order of sequence; bounded by the units there are. */
  readonly #waiting = new Map<string, LiveEvent>();
  #offered = 0;
  #flooded = false;

  /** Sequence of the first event that waits; infinite when none does. */
  get firstWaiting(): number {
    for (const event of this.#waiting.values()) return event.sequence;
    return Number.POSITIVE_INFINITY;
  }

  /** Whether the event may be sent at once; else it waits, or gives way to a newer one. */
  offer(event: LiveEvent, isFree: boolean): boolean {
    this.#offered += 1;
    if (this.#offered > LANE_MOST_EVENTS_PER_SECOND) this.#flooded = true;
    if (isFree && !this.#flooded && this.#waiting.size === 0) return true;
    this.#wait(event);
    return false;
  }

  /** To be called each second. */
  nextSecond(): void {
    this.#flooded = this.#offered > LANE_MOST_EVENTS_PER_SECOND;
    this.#offered = 0;
  }

  /** Takes the next event that waits, oldest sequence first; null when none does. */
  take(): LiveEvent | null {
    for (const [key, event] of this.#waiting) {
      this.#waiting.delete(key);
      return event;
    }
    return null;
  }

  #wait(event: LiveEvent): void {
    const key = `${event.site}/${event.unit}`;
    const waiting = this.#waiting.get(key);
    // A backlog comes in beside live readings: newest means event time, not arrival.
    if (waiting !== undefined && waiting.atMs > event.atMs) return;
    this.#waiting.delete(key);
    this.#waiting.set(key, event);
  }
}
