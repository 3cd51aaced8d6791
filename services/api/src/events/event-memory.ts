import type { LiveEvent } from './live-event.ts';

/** Readings and conditions that a listener can catch up with: some minutes of a large fleet. */
const MOST_EVENTS = 10_000;

/** The newest events, for listeners that lost their connection for a moment. */
export class EventMemory {
  readonly #most: number;
  readonly #events: LiveEvent[] = [];
  #end = 0;

  constructor(most: number = MOST_EVENTS) {
    this.#most = most;
  }

  /** Sequence of the newest event, 0 when there was none. */
  get end(): number {
    return this.#end;
  }

  /** Makes an event with the next sequence and remembers it. */
  add(make: (sequence: number) => LiveEvent): LiveEvent {
    this.#end += 1;
    const event = make(this.#end);
    this.#events[this.#end % this.#most] = event;
    return event;
  }

  /** What is still remembered of the events after `sequence`, oldest first. */
  *after(sequence: number): Generator<LiveEvent> {
    const first = Math.max(sequence, this.#end - this.#most) + 1;
    for (let at = first; at <= this.#end; at += 1) {
      const event = this.#events[at % this.#most];
      if (event !== undefined) yield event;
    }
  }
}
