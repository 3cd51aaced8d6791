import {
  type FieldGuard,
  type FieldGuards,
  isBoolean,
  isListOf,
  isNullOr,
  isNumber,
  isNumberOrNull,
  isOneOf,
} from '../field-guards.ts';
import { isHigher } from '../priority-order.ts';
import { type FindingChange, PRIORITIES, type Priority } from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import { withStage } from './load-stage.ts';
import { phaseTrackFinding } from './phase-track-finding.ts';
import type { ThreePhases } from './sample.ts';
import { smoothed } from './smoothing.ts';

/**
 * A track from pole to pole on the line side: at rest, exactly two phases carry an extra current
 * of the same size while the film is wet, and not while it is dry. Nothing of it goes to ground.
 *
 * Uses: `ia ib ic` with contactors open, the humidity of the film, the air's temperature.
 * A control transformer and crankcase heaters draw on two phases too, whatever the humidity, but
 * heaters differ with the cold: so what flows in a wet film is compared with what flowed in a dry
 * one at the same temperature, within five kelvin. Where that was not seen, only an extra counts
 * that no heater's temperature explains (a quarter of what these phases carry).
 * A heater or a small fan is on or off, so what comes at once, or stays at one size while the film
 * dries or wets, is none: a track's current follows the film without a step, by a quarter of it in
 * each wetting that counts. Extras at the sensor's floor are too small to tell.
 * Routine: at least 0.02 A, the third phase unchanged, for half an hour in each of two wettings;
 * below 0.04 A, which is a sensor's floor and shows only in means, for an hour in each of three.
 * Urgent: half an ampere of it. Ends after a week of wettings without it, and with work on
 * contactors or a cleaning.
 * Limits: magnitudes hide a track between phases whose currents at rest lie across its own; a
 * service outlet in use keeps no company with wetness, but a damp heater does.
 */
export interface PhaseTrackSlice {
  /** At rest in a dry film, by temperature. */
  readonly dry: readonly (RestLevel | null)[];
  /** At rest in a wet film now. */
  readonly wet: RestLevel | null;
  /** The pair that carries the extra in this wetting, as an index, and since when. */
  readonly pair: number | null;
  readonly sinceMs: number | null;
  /** Least and most of the pair since then, and the newest reading's largest phase, A. */
  readonly range: readonly [least: number, most: number, last: number] | null;
  /** It was counted for this wetting already. */
  readonly counted: boolean;
  readonly wettings: number;
  readonly lastAtMs: number | null;
  readonly standing: Priority | null;
}

/** When it was last seen, for how long in all (up to what is asked for), and the amps. */
type RestLevel = readonly [atMs: number, seenMs: number, a: number, b: number, c: number];

const HOUR_MS = 3_600_000;
/** A film changes within minutes; looking at each reading would cost and tell no more. */
const LOOK_EVERY_MS = 110_000;
/** A film below the one is dry, above the other it may conduct, %RH. */
const DRY_PERCENT = 68;
const WET_PERCENT = 78;
const BANDS = 8;
const BAND_KELVIN = 5;
const COLDEST_CELSIUS = -6;
const WET_TIME_CONSTANT_MS = 1_200_000;
const DRY_TIME_CONSTANT_MS: number = 6 * HOUR_MS;
const MOST_GAP_MS = 900_000;
const SEEN_TO_COMPARE_MS: number = 2 * HOUR_MS;
const DRY_LEVEL_KEEPS_MS: number = 30 * 24 * HOUR_MS;
/** What a mean over twenty readings of a clamp-on sensor tells; common practice, no source. */
const LEAST_AMPS = 0.02;
/** What its floor lets a single reading tell. */
const PLAIN_AMPS = 0.04;
/** Voltage and five kelvin move what heaters draw at rest by a few per cent. */
const SHARE_OF_REST = 0.06;
/** Heaters with a cold start draw more in the cold, but not by this share. */
const SHARE_UNMATCHED = 0.25;
/** A film does not change so much between two looks; a heater's thermostat does. */
const SWITCHED_AMPS = 0.08;
const SWITCHED_SHARE = 0.2;
/** A conducting film's current moves by this share of itself within a wetting. */
const VARIED_SHARE = 0.25;
/** Until a mean has settled it moves by noise alone. */
const SETTLED_MS = 600_000;
/** The two extras are alike, the third phase keeps still; within a third, as vectors add. */
const LIKE_SHARE = 0.4;
const HOLD_MS: number = HOUR_MS / 2;
const FAINT_HOLD_MS: number = HOUR_MS;
const WETTINGS_TO_RAISE = 2;
const FAINT_WETTINGS_TO_RAISE = 3;
/** A wire of half an ampere in a film is an arc before long; common practice, no source. */
const URGENT_AMPS = 0.5;
const CLOSING_MS: number = 7 * 24 * HOUR_MS;
const PER_UNIT = 1e4;

export const PHASE_TRACK_START: PhaseTrackSlice = {
  dry: new Array<null>(BANDS).fill(null),
  wet: null,
  pair: null,
  sinceMs: null,
  range: null,
  counted: false,
  wettings: 0,
  lastAtMs: null,
  standing: null,
};

const isRestLevel: FieldGuard = isNullOr(isListOf(isNumber, 5));

export const PHASE_TRACK_FIELDS: FieldGuards<PhaseTrackSlice> = {
  dry: isListOf(isRestLevel, BANDS),
  wet: isRestLevel,
  pair: isNumberOrNull,
  sinceMs: isNumberOrNull,
  range: isNullOr(isListOf(isNumber, 3)),
  counted: isBoolean,
  wettings: isNumber,
  lastAtMs: isNumberOrNull,
  standing: isOneOf([null, ...PRIORITIES]),
};

/**
 * To be called for settled instants at rest that bring the currents.
 *
 * @param filmPercent humidity of the film, %RH
 * @param celsius of the compartment's air
 */
export function stepPhaseTrack(
  slice: PhaseTrackSlice,
  atMs: number,
  currents: ThreePhases,
  filmPercent: number,
  celsius: number,
): DetectorStep<PhaseTrackSlice> {
  if (filmPercent < DRY_PERCENT) return dried(slice, atMs, currents, celsius);
  if (filmPercent < WET_PERCENT) return { slice, changes: NO_CHANGES };
  const { wet: before } = slice;
  if (before !== null && atMs - before[0] < LOOK_EVERY_MS) return { slice, changes: NO_CHANGES };
  const isStale = before === null || atMs - before[0] > HOUR_MS;
  if (!isStale && isSwitched(slice.range, currents)) {
    return { slice: { ...slice, wet: null, sinceMs: null, range: null }, changes: NO_CHANGES };
  }
  const wet = withReading(isStale ? null : before, atMs, currents, WET_TIME_CONSTANT_MS);
  const found = extraNow(slice.dry, wet, atMs, celsius);
  const next = seen(slice, wet, atMs, found, currents.largest);
  if (next.standing !== null && next.lastAtMs !== null && atMs - next.lastAtMs >= CLOSING_MS) {
    const changes: readonly FindingChange[] = [{ change: 'closed', kind: 'phase-track', atMs }];
    return { slice: { ...PHASE_TRACK_START, dry: slice.dry, wet }, changes };
  }
  if (found === null || !next.counted || next.wettings < wettingsToRaise(found)) {
    return { slice: next, changes: NO_CHANGES };
  }
  const reached: Priority = found.amps >= URGENT_AMPS ? 'urgent' : 'routine';
  if (!isHigher(reached, next.standing)) return { slice: next, changes: NO_CHANGES };
  const change = next.standing === null ? 'opened' : 'escalated';
  const finding = phaseTrackFinding(change, reached, atMs, found, next.wettings);
  return { slice: { ...next, standing: reached }, changes: [finding] };
}

/** A small load that comes and goes at rest; a film changes by less between two looks. */
function isSwitched(range: PhaseTrackSlice['range'], { largest }: ThreePhases): boolean {
  if (range === null) return false;
  const [, , last] = range;
  return Math.abs(largest - last) > Math.max(SWITCHED_AMPS, SWITCHED_SHARE * last);
}

function wettingsToRaise({ amps }: PhaseExtra): number {
  return amps < PLAIN_AMPS ? FAINT_WETTINGS_TO_RAISE : WETTINGS_TO_RAISE;
}

/** A dry film: what flows is learned, and the next wetting is another one. */
function dried(
  slice: PhaseTrackSlice,
  atMs: number,
  currents: ThreePhases,
  celsius: number,
): DetectorStep<PhaseTrackSlice> {
  const band = bandOf(celsius);
  const before = slice.dry[band] ?? null;
  if (before !== null && atMs - before[0] < LOOK_EVERY_MS) return { slice, changes: NO_CHANGES };
  const level = withReading(before, atMs, currents, DRY_TIME_CONSTANT_MS);
  const dry = withStage(slice.dry, band, level);
  return {
    slice: { ...slice, dry, wet: null, pair: null, sinceMs: null, range: null, counted: false },
    changes: NO_CHANGES,
  };
}

function bandOf(celsius: number): number {
  const band = Math.floor((celsius - COLDEST_CELSIUS) / BAND_KELVIN) + 1;
  return Math.min(Math.max(band, 0), BANDS - 1);
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
  wet: RestLevel,
  atMs: number,
  found: PhaseExtra | null,
  largestAmps: number,
): PhaseTrackSlice {
  const { dry, standing, lastAtMs, wettings, counted } = slice;
  const range = rangeNow(slice, wet, found, largestAmps);
  if (found === null) {
    return { dry, wet, pair: null, sinceMs: null, range, counted, wettings, lastAtMs, standing };
  }
  const { pair } = found;
  const sinceMs = slice.pair === pair ? (slice.sinceMs ?? atMs) : atMs;
  const isFaint = found.amps < PLAIN_AMPS;
  const follows = isFaint || range[1] - range[0] >= VARIED_SHARE * found.amps;
  const counts = follows && atMs - sinceMs >= (isFaint ? FAINT_HOLD_MS : HOLD_MS);
  return {
    dry,
    wet,
    pair,
    sinceMs,
    range,
    counted: counted || counts,
    wettings: counts && !counted ? Math.min(wettings + 1, FAINT_WETTINGS_TO_RAISE) : wettings,
    lastAtMs: counts ? atMs : lastAtMs,
    standing,
  };
}

/** What the pair's lesser phase has carried since nothing was switched. */
function rangeNow(
  { range, pair }: PhaseTrackSlice,
  [, seenMs, a, b, c]: RestLevel,
  found: PhaseExtra | null,
  largestAmps: number,
): NonNullable<PhaseTrackSlice['range']> {
  if (found === null || seenMs < SETTLED_MS) return [0, 0, largestAmps];
  const amps =
    found.pair === 0 ? Math.min(a, b) : found.pair === 1 ? Math.min(b, c) : Math.min(c, a);
  if (range === null || range[1] === 0 || pair !== found.pair) return [amps, amps, largestAmps];
  return [Math.min(range[0], amps), Math.max(range[1], amps), largestAmps];
}

/** An extra current of two phases in a wet film. */
export interface PhaseExtra {
  /** Index in `PHASE_PAIRS`. */
  readonly pair: number;
  readonly amps: number;
  readonly restAmps: number;
}

/** Over the dry film of this temperature; where that is not known, over every dry film. */
function extraNow(
  dry: PhaseTrackSlice['dry'],
  wet: RestLevel,
  atMs: number,
  celsius: number,
): PhaseExtra | null {
  const matched = dry[bandOf(celsius)] ?? null;
  if (matched !== null && isKnown(matched, atMs)) {
    return extraOf(matched, wet, LEAST_AMPS, SHARE_OF_REST);
  }
  let least: PhaseExtra | null = null;
  for (const level of dry) {
    if (level === null || !isKnown(level, atMs)) continue;
    const extra = extraOf(level, wet, PLAIN_AMPS, SHARE_UNMATCHED);
    if (extra === null) return null;
    if (least === null || extra.amps < least.amps) least = extra;
  }
  return least;
}

function isKnown([seenAtMs, seenMs]: RestLevel, atMs: number): boolean {
  return seenMs >= SEEN_TO_COMPARE_MS && atMs - seenAtMs <= DRY_LEVEL_KEEPS_MS;
}

function extraOf(
  dry: RestLevel,
  wet: RestLevel,
  leastAmps: number,
  leastShare: number,
): PhaseExtra | null {
  for (const [pair, [first, second, third]] of PAIR_PLACES.entries()) {
    const one = wet[first] - dry[first];
    const other = wet[second] - dry[second];
    const amps = Math.min(one, other);
    const restAmps = Math.max(dry[first], dry[second]);
    const isAlike = Math.max(one, other) - amps <= LIKE_SHARE * Math.max(one, other);
    const isStill = Math.abs(wet[third] - dry[third]) <= LIKE_SHARE * amps;
    if (amps >= leastAmps && amps >= leastShare * restAmps && isAlike && isStill) {
      return { pair, amps, restAmps };
    }
  }
  return null;
}

/** Where a level has the phases of `PHASE_PAIRS`. */
const PAIR_PLACES = [
  [2, 3, 4],
  [3, 4, 2],
  [4, 2, 3],
] as const;

function withReading(
  before: RestLevel | null,
  atMs: number,
  { a, b, c }: ThreePhases,
  timeConstantMs: number,
): RestLevel {
  if (before === null) return [atMs, 0, a, b, c];
  const [lastAtMs, seenMs, lastA, lastB, lastC] = before;
  const elapsedMs = Math.min(atMs - lastAtMs, MOST_GAP_MS);
  // The first hours make a plain mean, so that one odd reading does not stay.
  const constantMs = Math.min(timeConstantMs, Math.max(seenMs, elapsedMs));
  const mixed = (level: number, amps: number): number =>
    Math.round(smoothed(level, amps, elapsedMs, constantMs) * PER_UNIT) / PER_UNIT;
  const most = Math.max(timeConstantMs, SEEN_TO_COMPARE_MS);
  return [
    atMs,
    Math.min(seenMs + elapsedMs, most),
    mixed(lastA, a),
    mixed(lastB, b),
    mixed(lastC, c),
  ];
}
