import {
  BEATING_PARTS,
  type BeatingPart,
  type Heard,
  type Heartbeat,
  LOOKED_AFTER,
  type LookedAfter,
} from './heartbeat.ts';
import { type BystanderLimits, DEFAULT_BYSTANDER_LIMITS } from './limits.ts';
import { type Look, type PartWatch, stepPart, WELL } from './part-watch.ts';

type Watches = Readonly<Record<LookedAfter, PartWatch>>;

/** What a bystander knows; a value, replaced at each step. */
export interface BystanderState {
  readonly lookedAtMs: number;
  /** Until then nothing is held against anybody: we slept ourselves. */
  readonly excusedUntilMs: number;
  readonly startedAtMs: number;
  /** When the server was last heard. */
  readonly heardAtMs: number;
  /** The newest beats; empty while the server starts. */
  readonly beats: readonly Heartbeat[];
  readonly closedAtMs: number | null;
  readonly parts: Watches;
}

/** Something that people must be told. */
export interface Telling {
  readonly part: LookedAfter;
  readonly news: 'stopped' | 'works-again';
  /** The same for all tellings of one trouble, whoever tells: `[a-z0-9-]{1,32}`. */
  readonly key: string;
  /** Rises with each telling of the trouble, from 1. */
  readonly revision: number;
  readonly sinceMs: number;
  readonly atMs: number;
  /** Of the newest beat; null for the server itself. */
  readonly waiting: number | null;
  /** The server has ended; false: it is there and does not go on. */
  readonly hasEnded: boolean;
}

export interface BystanderStep {
  readonly state: BystanderState;
  readonly tellings: readonly Telling[];
}

const NO_TROUBLE: Watches = ofEach(() => WELL);

function ofEach(watchOf: (part: LookedAfter) => PartWatch): Watches {
  return {
    server: watchOf('server'),
    ingest: watchOf('ingest'),
    judging: watchOf('judging'),
    paging: watchOf('paging'),
    delivery: watchOf('delivery'),
  };
}

/** A bystander that begins to look; `before` is what one before it kept of troubles. */
export function newBystander(nowMs: number, before: Watches | null = null): BystanderState {
  return {
    lookedAtMs: nowMs,
    excusedUntilMs: nowMs,
    startedAtMs: nowMs,
    heardAtMs: nowMs,
    beats: [],
    closedAtMs: null,
    parts: before ?? NO_TROUBLE,
  };
}

/** What is kept of troubles after a farewell: those that nobody heard of are over. */
export function afterFarewell({ parts }: BystanderState): Watches {
  return ofEach((part) => (parts[part].toldAtMs === null ? WELL : parts[part]));
}

/** True while the server was heard lately, all its parts beat, and no trouble is open. */
export function isAllWell(
  state: BystanderState,
  nowMs: number,
  limits: BystanderLimits = DEFAULT_BYSTANDER_LIMITS,
): boolean {
  return LOOKED_AFTER.every(
    (part) =>
      state.parts[part].brokenSinceMs === null && lookAt(part, state, nowMs, limits).is === 'well',
  );
}

/**
 * One step: what was heard of the server, and what follows from the time. Call it at least every
 * `limits.ownGapMs`.
 *
 * @param nowMs milliseconds since 1970; a clock that is set back or far ahead excuses everybody.
 */
export function stepBystander(
  before: BystanderState,
  heard: Heard,
  nowMs: number,
  limits: BystanderLimits = DEFAULT_BYSTANDER_LIMITS,
): BystanderStep {
  const state = take(excuse(before, nowMs, limits), heard, nowMs);
  const tellings: Telling[] = [];
  const stepOf = (part: LookedAfter): PartWatch => {
    const { watch, news } = stepPart(
      state.parts[part],
      lookAt(part, state, nowMs, limits),
      nowMs,
      limits,
    );
    if (news !== null) tellings.push(tellingOf(part, news, state, watch, nowMs));
    return watch;
  };
  const parts = ofEach(stepOf);
  return { state: { ...state, parts }, tellings };
}

/** After a sleep of our own everybody gets the time anew that we did not look. */
function excuse(state: BystanderState, nowMs: number, limits: BystanderLimits): BystanderState {
  const gapMs = nowMs - state.lookedAtMs;
  if (gapMs >= 0 && gapMs <= limits.ownGapMs) return state;
  return {
    ...state,
    excusedUntilMs: nowMs + limits.ownGapMs,
    startedAtMs: state.startedAtMs + gapMs,
    heardAtMs: nowMs,
    closedAtMs: state.closedAtMs === null ? null : nowMs,
  };
}

function take(state: BystanderState, heard: Heard, nowMs: number): BystanderState {
  const looked = { ...state, lookedAtMs: nowMs };
  switch (heard.kind) {
    case 'nothing':
      return looked;
    case 'closed':
      return { ...looked, closedAtMs: state.closedAtMs ?? nowMs };
    case 'beats':
      return { ...looked, heardAtMs: nowMs, beats: heard.beats };
  }
}

function lookAt(
  part: LookedAfter,
  state: BystanderState,
  nowMs: number,
  limits: BystanderLimits,
): Look {
  return part === 'server'
    ? lookAtServer(state, nowMs, limits)
    : lookAtPart(part, state, nowMs, limits);
}

function lookAtServer(state: BystanderState, nowMs: number, limits: BystanderLimits): Look {
  const { closedAtMs, heardAtMs, beats, startedAtMs } = state;
  if (closedAtMs !== null) {
    return { is: 'broken', sinceMs: closedAtMs, tellAfterMs: limits.graceMs };
  }
  if (nowMs < state.excusedUntilMs) return { is: 'unknown' };
  if (nowMs - heardAtMs >= limits.stoppedAfterMs.server) {
    return { is: 'broken', sinceMs: heardAtMs, tellAfterMs: 0 };
  }
  if (beats.length > 0) return { is: 'well' };
  // Starting: no news is neither good nor bad, up to a time.
  return nowMs - startedAtMs >= limits.startWithinMs
    ? { is: 'broken', sinceMs: startedAtMs, tellAfterMs: 0 }
    : { is: 'unknown' };
}

/** While the server itself is not heard, its parts are no news. */
function lookAtPart(
  part: BeatingPart,
  state: BystanderState,
  nowMs: number,
  limits: BystanderLimits,
): Look {
  if (lookAtServer(state, nowMs, limits).is !== 'well') return { is: 'unknown' };
  const beat = state.beats.find((one) => one.part === part);
  if (beat === undefined) return { is: 'unknown' };
  if (beat.ageMs < limits.stoppedAfterMs[part]) return { is: 'well' };
  return { is: 'broken', sinceMs: state.heardAtMs - beat.ageMs, tellAfterMs: 0 };
}

function tellingOf(
  part: LookedAfter,
  news: Telling['news'],
  state: BystanderState,
  after: PartWatch,
  atMs: number,
): Telling {
  const before = state.parts[part];
  const sinceMs = after.brokenSinceMs ?? before.brokenSinceMs ?? atMs;
  const beat = state.beats.find((one) => one.part === part);
  return {
    part,
    news,
    key: `stopped-${part}-${Math.floor(sinceMs / 1000).toString(36)}`,
    revision: news === 'stopped' ? after.timesTold : before.timesTold + 1,
    sinceMs,
    atMs,
    waiting: BEATING_PARTS.some((one) => one === part) ? (beat?.waiting ?? null) : null,
    hasEnded: state.closedAtMs !== null,
  };
}
