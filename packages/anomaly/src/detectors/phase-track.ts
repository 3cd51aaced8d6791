import {
  type FieldGuards,
  hasShape,
  isListOf,
  isNullOr,
  isNumber,
  isNumberOrNull,
  isOneOf,
} from '../field-guards.ts';
import { isHigher } from '../priority-order.ts';
import { type FindingChange, PRIORITIES, type Priority } from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import { FILM_BANDS } from './film-humidity.ts';
import { PHASE_PAIRS, phaseTrackFinding } from './phase-track-finding.ts';
import type { ThreePhases } from './sample.ts';
import { smoothed } from './smoothing.ts';

/**
 * A track from pole to pole on the line side: at rest, exactly two phases carry an extra current
 * of the same size while the film is wet, and not while it is dry. Nothing of it goes to ground.
 *
 * Uses: `ia ib ic` with contactors open, the humidity of the film.
 * Routine: the extra is at least 0.04 A, above a quarter of what these phases carry at rest in a
 * dry film, the third phase unchanged, for half an hour in each of two wettings. Urgent: half an
 * ampere of it. A control transformer and crankcase heaters draw on two phases too, but the same in
 * all weathers, or a little more in the cold; a service outlet in use keeps no company with wetness.
 * Ends after a week of wettings without it, and with work on contactors or a cleaning.
 */
export interface PhaseTrackSlice {
  /** At rest, by band of film humidity. */
  readonly levels: readonly (RestLevel | null)[];
  /** The pair that carries the extra in this wetting, as an index, and since when. */
  readonly pair: number | null;
  readonly sinceMs: number | null;
  /** It was counted for this wetting already. */
  readonly counted: boolean;
  readonly wettings: number;
  readonly lastAtMs: number | null;
  readonly standing: Priority | null;
}

interface RestLevel {
  readonly atMs: number;
  readonly seenMs: number;
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

const HOUR_MS = 3_600_000;
/** A film changes within minutes; looking at each reading would cost and tell no more. */
const LOOK_EVERY_MS = 120_000;
/** A dry film, and one that conducts. */
const DRY_BANDS = 2;
const LEVEL_TIME_CONSTANT_MS = 900_000;
const DRY_TIME_CONSTANT_MS: number = 12 * HOUR_MS;
const MOST_GAP_MS = 900_000;
const SEEN_TO_COMPARE_MS: number = 2 * HOUR_MS;
const DRY_LEVEL_KEEPS_MS: number = 21 * 24 * HOUR_MS;
/** What a clamp-on sensor tells from nothing, with its drift; common practice, no source. */
const LEAST_AMPS = 0.04;
/** Heaters with a cold start draw more in the cold, but not by this share. */
const SHARE_OF_REST = 0.25;
/** The two extras are alike, the third phase keeps still; within a third, as vectors add. */
const LIKE_SHARE = 0.4;
const HOLD_MS: number = HOUR_MS / 2;
const WETTINGS_TO_RAISE = 2;
/** A wire of half an ampere in a film is an arc before long; common practice, no source. */
const URGENT_AMPS = 0.5;
const CLOSING_MS: number = 7 * 24 * HOUR_MS;

export const PHASE_TRACK_START: PhaseTrackSlice = {
  levels: new Array<null>(FILM_BANDS).fill(null),
  pair: null,
  sinceMs: null,
  counted: false,
  wettings: 0,
  lastAtMs: null,
  standing: null,
};

export const PHASE_TRACK_FIELDS: FieldGuards<PhaseTrackSlice> = {
  levels: isListOf(
    isNullOr(
      hasShape<RestLevel>({
        atMs: isNumber,
        seenMs: isNumber,
        a: isNumber,
        b: isNumber,
        c: isNumber,
      }),
    ),
    FILM_BANDS,
  ),
  pair: isNumberOrNull,
  sinceMs: isNumberOrNull,
  counted: (value) => typeof value === 'boolean',
  wettings: isNumber,
  lastAtMs: isNumberOrNull,
  standing: isOneOf([null, ...PRIORITIES]),
};

/** To be called for settled instants at rest that bring the currents, with the film's band. */
export function stepPhaseTrack(
  slice: PhaseTrackSlice,
  atMs: number,
  currents: ThreePhases,
  band: number,
): DetectorStep<PhaseTrackSlice> {
  const last = slice.levels[band] ?? null;
  if (last !== null && atMs - last.atMs < LOOK_EVERY_MS) return { slice, changes: NO_CHANGES };
  const levels = withLevel(slice.levels, atMs, currents, band);
  const dry = dryLevel(levels, atMs);
  const now = levels[band] ?? null;
  const found = band < DRY_BANDS || dry === null || now === null ? null : extraOf(dry, now);
  const next = seen(slice, levels, atMs, found, band);
  if (next.standing !== null && next.lastAtMs !== null && atMs - next.lastAtMs >= CLOSING_MS) {
    const changes: readonly FindingChange[] = [{ change: 'closed', kind: 'phase-track', atMs }];
    return { slice: { ...PHASE_TRACK_START, levels }, changes };
  }
  if (found === null || dry === null || next.wettings < WETTINGS_TO_RAISE || !next.counted) {
    return { slice: next, changes: NO_CHANGES };
  }
  const reached: Priority = found.amps >= URGENT_AMPS ? 'urgent' : 'routine';
  if (!isHigher(reached, next.standing)) return { slice: next, changes: NO_CHANGES };
  const change = next.standing === null ? 'opened' : 'escalated';
  const finding = phaseTrackFinding(change, reached, atMs, found, next.wettings);
  return { slice: { ...next, standing: reached }, changes: [finding] };
}

/** After work on what may be tracked everything is learned anew; what stood has ended. */
export function repairPhaseTrack(
  slice: PhaseTrackSlice,
  atMs: number,
): DetectorStep<PhaseTrackSlice> {
  const changes: readonly FindingChange[] =
    slice.standing === null ? NO_CHANGES : [{ change: 'closed', kind: 'phase-track', atMs }];
  return { slice: PHASE_TRACK_START, changes };
}

function seen(
  slice: PhaseTrackSlice,
  levels: PhaseTrackSlice['levels'],
  atMs: number,
  found: PhaseExtra | null,
  band: number,
): PhaseTrackSlice {
  const { standing, lastAtMs, wettings, counted } = slice;
  if (found === null) {
    // A film that dries takes the extra away: the next wetting is another one.
    const goesOn = band !== 0 && counted;
    return { levels, pair: null, sinceMs: null, counted: goesOn, wettings, lastAtMs, standing };
  }
  const { pair } = found;
  const sinceMs = slice.pair === pair ? (slice.sinceMs ?? atMs) : atMs;
  const counts = atMs - sinceMs >= HOLD_MS;
  return {
    levels,
    pair,
    sinceMs,
    counted: counted || counts,
    wettings: counts && !counted ? Math.min(wettings + 1, WETTINGS_TO_RAISE) : wettings,
    lastAtMs: counts ? atMs : lastAtMs,
    standing,
  };
}

/** An extra current of two phases in a wet film. */
export interface PhaseExtra {
  /** Index in `PHASE_PAIRS`. */
  readonly pair: number;
  readonly amps: number;
  readonly restAmps: number;
}

function extraOf(dry: RestLevel, wet: RestLevel): PhaseExtra | null {
  for (const [pair, [first, second, third]] of PHASE_PAIRS.entries()) {
    const one = wet[first] - dry[first];
    const other = wet[second] - dry[second];
    const amps = Math.min(one, other);
    const restAmps = Math.max(dry[first], dry[second]);
    const isAlike = Math.max(one, other) - amps <= LIKE_SHARE * Math.max(one, other);
    const isStill = Math.abs(wet[third] - dry[third]) <= LIKE_SHARE * amps;
    if (amps >= LEAST_AMPS && amps >= SHARE_OF_REST * restAmps && isAlike && isStill) {
      return { pair, amps, restAmps };
    }
  }
  return null;
}

function withLevel(
  levels: PhaseTrackSlice['levels'],
  atMs: number,
  { a, b, c }: ThreePhases,
  band: number,
): PhaseTrackSlice['levels'] {
  const before = levels[band] ?? null;
  const constantMs = band < DRY_BANDS ? DRY_TIME_CONSTANT_MS : LEVEL_TIME_CONSTANT_MS;
  const elapsedMs = before === null ? 0 : atMs - before.atMs;
  const isStale = band >= DRY_BANDS && elapsedMs > HOUR_MS;
  const mixed = (level: number | undefined, amps: number): number =>
    smoothed(isStale ? null : (level ?? null), amps, Math.min(elapsedMs, MOST_GAP_MS), constantMs);
  const copy = levels.slice();
  copy[band] = {
    atMs,
    seenMs: (before?.seenMs ?? 0) + Math.min(elapsedMs, MOST_GAP_MS),
    a: rounded(mixed(before?.a, a)),
    b: rounded(mixed(before?.b, b)),
    c: rounded(mixed(before?.c, c)),
  };
  return copy;
}

/** To the microampere: more digits than that only take room in the saved state. */
function rounded(amps: number): number {
  return Math.round(amps * 1e6) / 1e6;
}

/** What the phases carry at rest in the driest film that was seen for long enough. */
function dryLevel(levels: PhaseTrackSlice['levels'], atMs: number): RestLevel | null {
  for (const level of levels.slice(0, DRY_BANDS)) {
    const isKnown =
      level !== null &&
      level.seenMs >= SEEN_TO_COMPARE_MS &&
      atMs - level.atMs <= DRY_LEVEL_KEEPS_MS;
    if (isKnown) return level;
  }
  return null;
}
