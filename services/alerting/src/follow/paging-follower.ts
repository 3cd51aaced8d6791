import type { Fleet } from '@lineside/fleet';
import {
  changesBetween,
  type HeldUnit,
  hasCaughtUp,
  hear,
  type JudgedThrough,
  nextStepMs,
  type PageToHandOver,
  type Stepped,
  type StepState,
  stepPagingInParts,
  storedStep,
  withdrawnPages,
} from '@lineside/paging';
import type { Reading } from '@lineside/readings';
import {
  type AlertingRecords,
  type AlertingStep,
  type RecordStore,
  StoreError,
  type UnitRef,
} from '@lineside/storage';
import type { Logger } from 'pino';
import { factsFrom } from '../messages/page-facts.ts';
import { pageMessagesInParts } from '../messages/page-messages.ts';
import type { OnCallBook, OnCallNow } from '../oncall/on-call-book.ts';
import { loadStanding, nothingKept, type Standing, type StandingRecords } from './standing.ts';
import { withRests } from './with-rests.ts';

/** How often the journal is looked at when nobody says that it grew: another process may write. */
const POLL_MS = 1_000;

/** Journal entries read at once. */
const ENTRIES_PER_READ = 500;

/** Reads before a step is taken although the journal has more: bounds what one step has to keep. */
const READS_PER_STEP_MOST = 100;

/** Steps are at least so far apart: what comes in a storm meanwhile is one step, one commit. */
const STEP_EVERY_MS = 100;

/** How often the log repeats that alarms can reach nobody. */
const SAY_AGAIN_MS = 60 * 60_000;

/** Longest wait that a timer can be set to, about 24 days. */
const TIMER_MOST_MS = 2 ** 31 - 1;

export type FollowerRecords = StandingRecords &
  Pick<AlertingRecords, 'commitAlerting'> &
  Pick<RecordStore, 'journalAfter'>;

export interface FollowerParts {
  readonly records: FollowerRecords;
  readonly onCall: OnCallBook;
  readonly fleet: () => Fleet;
  /** The newest reading of a unit or outdoor station, or null. */
  readonly latest: (site: string, unit: string) => Reading | null;
  /**
   * How far units are judged, event time; null: not at all, late readings of it wait, or it cannot
   * be said now. One for each unit, in their order.
   */
  readonly judgedThroughMs: (units: readonly UnitRef[]) => Promise<readonly (number | null)[]>;
  readonly publicUrl: () => string;
  readonly linkSecret: string;
  readonly clock: () => number;
  readonly log: Pick<Logger, 'info' | 'warn' | 'error'>;
  /** Called when messages are in the outbox. */
  readonly onMessages: () => void;
  /** Called for the pages of each step that is kept. */
  readonly onPages: (pages: readonly PageToHandOver[]) => void;
}

type Sent = Pick<AlertingStep, 'withdrawn' | 'messages' | 'links'>;

const NOTHING_SENT: Sent = { withdrawn: [], messages: [], links: [] };

/** Follows the alarm journal to pages in the outbox, one step at a time. */
export class PagingFollower {
  readonly #parts: FollowerParts;
  #kept: Standing | null = null;
  #holdsKnown = '';
  #caughtUpAtMs: number;
  #poll: NodeJS.Timeout | null = null;
  #due: NodeJS.Timeout | null = null;
  #rest: NodeJS.Timeout | null = null;
  #saidUnreachableAtMs = Number.NEGATIVE_INFINITY;
  #lookedAtMs = Number.NEGATIVE_INFINITY;
  #running: Promise<void> | null = null;
  #again = false;
  #isStopped = false;
  #failure: string | null = null;

  constructor(parts: FollowerParts) {
    this.#parts = parts;
    this.#caughtUpAtMs = parts.clock();
  }

  start(): void {
    this.#poll = setInterval(() => this.poke(), POLL_MS);
    this.#poll.unref();
    this.poke();
  }

  /** Looks at the journal and the clock now. Cheap, may be called often. */
  poke(): void {
    if (this.#isStopped) return;
    if (this.#running !== null) {
      this.#again = true;
      return;
    }
    const restMs = this.#lookedAtMs + STEP_EVERY_MS - performance.now();
    if (restMs > 0) {
      this.#rest ??= setTimeout(() => {
        this.#rest = null;
        this.poke();
      }, restMs);
      return;
    }
    this.#running = this.#look().finally(() => {
      this.#lookedAtMs = performance.now();
      this.#running = null;
      if (!this.#again) return;
      this.#again = false;
      this.poke();
    });
  }

  /** Ends after the step that is under way. */
  async stop(): Promise<void> {
    this.#isStopped = true;
    if (this.#poll !== null) clearInterval(this.#poll);
    for (const timer of [this.#due, this.#rest]) if (timer !== null) clearTimeout(timer);
    while (this.#running !== null) await this.#running;
  }

  /** When the journal was last read to its end and all that follows was kept. */
  get caughtUpAtMs(): number {
    return this.#caughtUpAtMs;
  }

  get failure(): string | null {
    return this.#failure;
  }

  get asksOpen(): number {
    return this.#kept?.step.asks.size ?? 0;
  }

  async #look(): Promise<void> {
    const { log } = this.#parts;
    try {
      await this.#step();
      if (this.#failure !== null) log.info('alerting goes on');
      this.#failure = null;
    } catch (error) {
      // What the store has is what counts; the next look, within a second, begins with it.
      this.#kept = null;
      if (error instanceof StoreError && error.code === 'STORE_CONFLICT') {
        this.#again = true;
        return;
      }
      if (this.#failure === null) log.error({ err: error }, 'alerting cannot step; it tries again');
      this.#failure = error instanceof Error ? error.message : String(error);
    }
  }

  async #step(): Promise<void> {
    const { clock, onCall } = this.#parts;
    const before = this.#kept ?? (await this.#load());
    // Before the journal is read: what was judged by now is then among what is heard.
    const judgedThroughMs = await judgedThroughNow(before.step, this.#parts.judgedThroughMs);
    const { through, heard, isAtEnd } = await this.#hearAll(before);
    const nowMs = clock();
    const holds = await onCall.holdsAt(nowMs);
    const isHeard = through !== before.journalThrough;
    const isCaughtUp = hasCaughtUp(before.step, judgedThroughMs, nowMs);
    if (isHeard || isCaughtUp || this.#isDue(before, nowMs, holds)) {
      const now = await onCall.now();
      const { rota, canReach } = now;
      const line = { entries: [], nowMs, rota, holds, canReach, judgedThroughMs };
      const stepped = await withRests(stepPagingInParts(heard, line));
      await this.#keep(before, through, stepped, now);
      this.#holdsKnown = JSON.stringify(holds);
    }
    if (isAtEnd) this.#caughtUpAtMs = nowMs;
    else this.#again = true;
    this.#setTimer();
  }

  /** At the first start the asks of open alarms are kept at once, so that they are loaded after. */
  async #load(): Promise<Standing> {
    const { records, clock, log } = this.#parts;
    const { standing, isFirst, leftOver } = await loadStanding(records, clock(), log);
    this.#kept = standing;
    if (!isFirst) return standing;
    await this.#commit(nothingKept(standing), standing, NOTHING_SENT, leftOver);
    return this.#kept;
  }

  async #hearAll(
    before: Standing,
  ): Promise<{ through: number; heard: StepState; isAtEnd: boolean }> {
    const { records, clock } = this.#parts;
    let { journalThrough: through, step: heard } = before;
    for (let read = 0; read < READS_PER_STEP_MOST; read += 1) {
      const entries = await records.journalAfter(through, ENTRIES_PER_READ);
      heard = hear(heard, entries, Math.max(clock(), before.step.nowMs));
      through = entries.at(-1)?.sequence ?? through;
      if (entries.length < ENTRIES_PER_READ) return { through, heard, isAtEnd: true };
    }
    return { through, heard, isAtEnd: false };
  }

  #isDue({ step }: Standing, nowMs: number, holds: readonly HeldUnit[]): boolean {
    const dueAtMs = nextStepMs(step);
    return (dueAtMs !== null && dueAtMs <= nowMs) || JSON.stringify(holds) !== this.#holdsKnown;
  }

  async #keep(
    before: Standing,
    journalThrough: number,
    { state, pages, unreachable }: Stepped,
    { contacts }: OnCallNow,
  ): Promise<void> {
    const { fleet, latest, publicUrl, linkSecret, log, onMessages, onPages } = this.#parts;
    // One that a digest told of is forgotten in this step, and known from before it.
    const asks = new Map([...before.step.asks, ...state.asks]);
    const factsOf = factsFrom({ fleet: fleet(), latest, asks, nowMs: state.nowMs });
    const sources = { contacts, factsOf, publicUrl: publicUrl(), linkSecret };
    const made = await withRests(pageMessagesInParts(pages, sources));
    const after = { generation: before.generation, journalThrough, step: state };
    const withdrawn = withdrawnPages(before.step, state, pages);
    await this.#commit(before, after, { ...made, withdrawn });
    if (pages.length > 0) onPages(pages);
    if (made.messages.length > 0) onMessages();
    this.#sayUnreachable(unreachable);
    if (made.unreached.length > 0) {
      log.warn({ people: made.unreached }, 'pages for people without any contact point');
    }
  }

  #sayUnreachable(unreachable: Stepped['unreachable']): void {
    const [first] = unreachable;
    const nowMs = this.#parts.clock();
    if (first === undefined || nowMs - this.#saidUnreachableAtMs < SAY_AGAIN_MS) return;
    this.#saidUnreachableAtMs = nowMs;
    this.#parts.log.error(
      { alarms: unreachable.length, first: first.alarmId, why: first.words },
      'alarms can reach nobody and are tried again; give the rota and the office contact points',
    );
  }

  async #commit(
    before: Standing,
    after: Standing,
    { withdrawn, messages, links }: Sent,
    leftOver: readonly string[] = [],
  ): Promise<void> {
    const { changed, forgotten } = changesBetween(before.step, after.step);
    await this.#parts.records.commitAlerting({
      basedOn: before.generation,
      journalThrough: after.journalThrough,
      paging: storedStep(after.step),
      asks: changed.map((alarmId) => ({ alarmId, ask: after.step.asks.get(alarmId) })),
      forgotten: [...forgotten, ...leftOver],
      withdrawn,
      messages,
      links,
    });
    this.#kept = { ...after, generation: before.generation + 1 };
  }

  #setTimer(): void {
    if (this.#due !== null) clearTimeout(this.#due);
    this.#due = null;
    const dueAtMs = this.#kept === null ? null : nextStepMs(this.#kept.step);
    if (dueAtMs === null || this.#isStopped) return;
    const waitMs = Math.min(TIMER_MOST_MS, Math.max(0, dueAtMs - this.#parts.clock()));
    this.#due = setTimeout(() => this.poke(), waitMs);
    this.#due.unref();
  }
}

/** How far the units of asks that wait for the rest of a backlog are judged now. */
async function judgedThroughNow(
  { asks }: StepState,
  judgedThroughMs: FollowerParts['judgedThroughMs'],
): Promise<JudgedThrough> {
  const waiting = new Map<string, UnitRef>();
  for (const { alarm, onceCaughtUpFromMs } of asks.values()) {
    const { site, unit } = alarm;
    if (onceCaughtUpFromMs !== undefined) waiting.set(`${site}/${unit}`, { site, unit });
  }
  if (waiting.size === 0) return () => null;
  const throughMs = await judgedThroughMs([...waiting.values()]);
  const known = new Map([...waiting.keys()].map((key, index) => [key, throughMs[index] ?? null]));
  return (site, unit) => known.get(`${site}/${unit}`) ?? null;
}
