import { alarmAnswers } from '../answers/alarm-answer.ts';
import type { Principal } from '../auth/principal.ts';
import { newId } from '../auth/secrets.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { ApiError } from '../errors/api-error.ts';
import { parseEventId } from './event-id.ts';
import { EventListener, type EventSink } from './event-listener.ts';
import { EventMemory } from './event-memory.ts';
import { JournalFeed } from './journal-feed.ts';
import { LiveEvent } from './live-event.ts';

/** Open streams together: each costs a socket and a few kilobytes. */
const MOST_STREAMS = 500;
/** Open streams of one person or token: many windows, no runaway program. */
const MOST_STREAMS_EACH = 50;
/** When to try again to open one. */
const STREAM_RETRY_SECONDS = 30;

type HubDependencies = Pick<ApiDependencies, 'records' | 'live' | 'log' | 'fleet'>;

/** Hands what happens to everyone who listens. */
export class EventHub {
  readonly #live: HubDependencies['live'];
  readonly #log: HubDependencies['log'];
  readonly #feed: JournalFeed;
  readonly #memory = new EventMemory();
  /** Sequences of the memory hold within one run. */
  readonly #run = newId();
  readonly #listeners = new Set<EventListener>();
  #subscriptions: readonly (() => void)[] = [];
  #started: Promise<void> | null = null;
  #isReading = false;
  #readAgain = false;

  constructor({ records, live, log, fleet }: HubDependencies) {
    this.#live = live;
    this.#log = log;
    this.#feed = new JournalFeed(records, alarmAnswers(fleet));
  }

  get listenerCount(): number {
    return this.#listeners.size;
  }

  /** Makes ready for a listener. Rejects with 429 or 503 when there are too many, `StoreError`. */
  async admit(principal: Principal): Promise<void> {
    const extra = { retryAfterSeconds: STREAM_RETRY_SECONDS };
    if (this.#listeners.size >= MOST_STREAMS) {
      throw new ApiError('API_TOO_MANY_STREAMS', 'Try again later.', extra);
    }
    const own = [...this.#listeners].filter((one) => one.principal.key === principal.key);
    if (own.length >= MOST_STREAMS_EACH) {
      throw new ApiError('API_TOO_MANY_REQUESTS', 'Close some event streams first.', extra);
    }
    this.#started ??= this.#start();
    try {
      await this.#started;
    } catch (error) {
      this.#started = null;
      throw error;
    }
  }

  /** Adds a listener that goes on after `lastEventId`, or begins with what happens next. */
  join(principal: Principal, sink: EventSink, lastEventId: string | null): EventListener {
    const last = lastEventId === null ? null : parseEventId(lastEventId);
    const run = this.#run;
    const journal = Math.min(last?.journal ?? this.#feed.end, this.#feed.end);
    const memory = last?.run === run ? Math.min(last.memory, this.#memory.end) : this.#memory.end;
    const listener = new EventListener(principal, sink, this.#feed, { run, journal, memory });
    this.#listeners.add(listener);
    for (const event of this.#memory.after(memory)) listener.offer(event);
    this.#fetch(listener.fetchAlarms());
    return listener;
  }

  drained(listener: EventListener): void {
    this.#fetch(listener.drained());
  }

  leave(listener: EventListener): void {
    listener.end();
    this.#listeners.delete(listener);
  }

  /** To be called each second: sends what waits, looks for what a hint did not announce. */
  nextSecond(): void {
    for (const listener of this.#listeners) {
      listener.nextSecond();
      if (listener.ended) this.#listeners.delete(listener);
    }
    if (this.#listeners.size > 0) this.#readJournal();
  }

  close(): void {
    for (const end of this.#subscriptions) end();
    this.#subscriptions = [];
    for (const listener of this.#listeners) listener.end();
    this.#listeners.clear();
  }

  async #start(): Promise<void> {
    await this.#feed.start();
    this.#subscriptions = [
      this.#live.onReadings((readings) => {
        for (const reading of readings) this.#tell((at) => LiveEvent.reading(at, reading));
      }),
      this.#live.onCondition((site, unit, condition) => {
        this.#tell((at) => LiveEvent.condition(at, site, unit, condition));
      }),
      this.#live.onJournal(() => this.#readJournal()),
    ];
  }

  #tell(make: (sequence: number) => LiveEvent): void {
    const event = this.#memory.add(make);
    for (const listener of this.#listeners) listener.offer(event);
  }

  #readJournal(): void {
    this.#readAgain = true;
    if (!this.#isReading) this.#fetch(this.#readOn());
  }

  async #readOn(): Promise<void> {
    this.#isReading = true;
    try {
      while (this.#readAgain) {
        this.#readAgain = false;
        await this.#feed.readOn();
      }
    } finally {
      this.#isReading = false;
    }
    await Promise.all([...this.#listeners].map((listener) => listener.fetchAlarms()));
  }

  /** Nothing is lost when the store fails: the next second tries again. */
  #fetch(work: Promise<void>): void {
    work.catch((error: unknown) => this.#log.warn({ err: error }, 'alarm journal not read'));
  }
}
