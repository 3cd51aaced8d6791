import { mayReadSite, type Principal } from '../auth/principal.ts';
import { formatEventId } from './event-id.ts';
import { EventLane } from './event-lane.ts';
import type { JournalFeed } from './journal-feed.ts';
import type { LiveEvent } from './live-event.ts';

/** Where events go; `write` is false when the connection takes no more for now. */
export interface EventSink {
  write(text: string): boolean;
  end(): void;
}

/** Alarm events fetched at once. */
const ALARMS_AT_ONCE = 100;
/** A connection that has taken nothing for so long is given up; its listener can resume. */
export const STALLED_MOST_SECONDS = 30;

export interface ListenerStart {
  readonly run: string;
  readonly journal: number;
  readonly memory: number;
}

/**
 * One listener. Nothing is queued beyond what the connection itself buffers: readings and
 * conditions that must wait give way to newer ones of their unit, alarms stay in the journal and
 * are fetched when the connection is free.
 */
export class EventListener {
  readonly principal: Principal;
  readonly #sink: EventSink;
  readonly #feed: JournalFeed;
  readonly #run: string;
  readonly #lanes = { reading: new EventLane(), condition: new EventLane() };
  #journal: number;
  #memory: number;
  #isFree = true;
  #isFetching = false;
  #ended = false;
  #stalledSeconds = 0;

  constructor(principal: Principal, sink: EventSink, feed: JournalFeed, start: ListenerStart) {
    this.principal = principal;
    this.#sink = sink;
    this.#feed = feed;
    this.#run = start.run;
    this.#journal = start.journal;
    this.#memory = start.memory;
  }

  get ended(): boolean {
    return this.#ended;
  }

  offer(event: LiveEvent): void {
    if (this.#ended) return;
    this.#memory = event.sequence;
    if (!mayReadSite(this.principal, event.site)) return;
    if (this.#lanes[event.type].offer(event, this.#isFree)) this.#send(event.type, event.data());
  }

  /** Sends what is new in the journal. Rejects with `StoreError`; call it again then. */
  async fetchAlarms(): Promise<void> {
    if (this.#isFetching) return;
    this.#isFetching = true;
    try {
      while (this.#mayWrite() && this.#journal < this.#feed.end) {
        const events = await this.#feed.after(this.#journal, ALARMS_AT_ONCE);
        if (events.length === 0) return;
        for (const event of events) {
          if (!this.#mayWrite()) return;
          this.#journal = event.sequence;
          if (mayReadSite(this.principal, event.site)) this.#send('alarm', event.data);
        }
      }
    } finally {
      this.#isFetching = false;
    }
  }

  /** The connection takes more again. */
  async drained(): Promise<void> {
    this.#isFree = true;
    this.#stalledSeconds = 0;
    this.#sendWaiting();
    await this.fetchAlarms();
  }

  /** To be called each second. */
  nextSecond(): void {
    this.#lanes.reading.nextSecond();
    this.#lanes.condition.nextSecond();
    if (this.#isFree) {
      this.#sendWaiting();
      return;
    }
    this.#stalledSeconds += 1;
    if (this.#stalledSeconds > STALLED_MOST_SECONDS) this.end();
  }

  heartbeat(): void {
    if (this.#mayWrite()) this.#write(': still here\n\n');
  }

  end(): void {
    if (this.#ended) return;
    this.#ended = true;
    this.#sink.end();
  }

  #mayWrite(): boolean {
    return this.#isFree && !this.#ended;
  }

  #sendWaiting(): void {
    for (const lane of [this.#lanes.reading, this.#lanes.condition]) {
      while (this.#mayWrite()) {
        const event = lane.take();
        if (event === null) break;
        this.#send(event.type, event.data());
      }
    }
  }

  #send(type: string, data: string): void {
    const id = formatEventId({ run: this.#run, journal: this.#journal, memory: this.#safeMark() });
    this.#write(`id: ${id}\nevent: ${type}\ndata: ${data}\n\n`);
  }

  /** Up to here nothing waits: who resumes after it misses nothing, but may get some twice. */
  #safeMark(): number {
    const { reading, condition } = this.#lanes;
    return Math.min(this.#memory, reading.firstWaiting - 1, condition.firstWaiting - 1);
  }

  #write(text: string): void {
    if (!this.#sink.write(text)) this.#isFree = false;
  }
}
