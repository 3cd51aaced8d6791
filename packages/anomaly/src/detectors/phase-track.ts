import {
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
import { thousandths } from './kept-digits.ts';
import { phaseTrackFinding } from './phase-track-finding.ts';
import {
  ageMs,
  areRestLevels,
  bandOf,
  isKnown,
  isRestLevel,
  isSettledMean,
  LOOK_EVERY_MS,
  NO_LEVELS,
  type RestLevel,
  type RestLevels,
  switchedAmps,
  withDamp,
  withDry,
  withReading,
} from './phase-track-levels.ts';
import type { ThreePhases } from './sample.ts';

/**
 * A track from pole to pole on the line side: at rest, exactly two phases carry an extra current
 * of the same size while the film is wet, and not while it is dry. Nothing of it goes to ground.
 *
 * Uses: `ia ib ic` with contactors open, the humidity of the film, the air's temperature.
 * A control transformer and crankcase heaters draw on two phases too, whatever the humidity, but
 * heaters differ with the cold: so what flows in a wet film is compared with what flowed in a dry
 * one at the same temperature, within five kelvin. Where nights at that temperature are never dry,
 * with what flowed in them before: that rises slowly, so that a track which appears shows. Where
 * neither was seen, only an extra counts that no heater's temperature explains (a quarter of what
 * these phases carry).
 * A heater or a small fan is on or off, so what comes at once, or stays at one size while the film
 * dries or wets, is none: a track's current follows the film without a step, by a quarter of it in
 * each wetting that counts. Extras at the sensor's floor are too small to tell.
 * Routine: at least 0.02 A, the third phase unchanged, for half an hour in each of two wettings;
 * below 0.04 A, which is a sensor's floor and shows only in means, for an hour in each of three. A
 * wetting is over with a dry film, or where the loads ran for six hours.
 * Urgent: half an ampere of it. Ends after a week of wettings without it, and with work on
 * contactors or a cleaning.
 * Limits: magnitudes hide a track between phases whose currents at rest lie across its own; a
 * service outlet in use keeps no company with wetness, but a damp heater does.
 */
export interface PhaseTrackSlice {
  /** At rest in a dry film, by temperature. */
  readonly dry: RestLevels;
  /** At rest in a wet film on the days before, by temperature: rises slowly. */
  readonly damp: RestLevels;
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

const HOUR_MS = 3_600_000;
/** A film below the one is dry, above the other it may conduct, %RH. */
const DRY_PERCENT = 68;
const WET_PERCENT = 78;
/** Nobody looked for so long: the film that is there now is another one. */
const BETWEEN_WETTINGS_MS: number = 6 * HOUR_MS;
/** What a mean over twenty readings of a clamp-on sensor tells; common practice, no source. */
const LEAST_AMPS = 0.02;
/** What its floor lets a single reading tell. */
const PLAIN_AMPS = 0.04;
/** Voltage and five kelvin move what heaters draw at rest by a few per cent. */
const SHARE_OF_REST = 0.06;
/** As much again, for a film is mostly there in the colder half of a band. */
const SHARE_OF_DAMP: number = 2 * SHARE_OF_REST;
/** Heaters with a cold start draw more in the cold, but not by this share. */
const SHARE_UNMATCHED = 0.25;
/** A conducting film's current moves by this share of itself within a wetting. */
const VARIED_SHARE = 0.25;
/** So much less at once is all of it. */
const GONE_SHARE = 0.8;
/** The two extras are alike, the third phase keeps still; within a third, as vectors add. */
const LIKE_SHARE = 0.4;
const HOLD_MS: number = HOUR_MS / 2;
const FAINT_HOLD_MS: number = HOUR_MS;
const WETTINGS_TO_RAISE = 2;
const FAINT_WETTINGS_TO_RAISE = 3;
/** A wire of half an ampere in a film is an arc before long; common practice, no source. */
const URGENT_AMPS = 0.5;
const CLOSING_MS: number = 7 * 24 * HOUR_MS;

export const PHASE_TRACK_START: PhaseTrackSlice = {
  dry: NO_LEVELS,
  damp: NO_LEVELS,
  wet: null,
  pair: null,
  sinceMs: null,
  range: null,
  counted: false,
  wettings: 0,
  lastAtMs: null,
  standing: null,
};

export const PHASE_TRACK_FIELDS: FieldGuards<PhaseTrackSlice> = {
  dry: areRestLevels,
  damp: areRestLevels,
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
  if (before !== null && ageMs(before, atMs) < LOOK_EVERY_MS) return { slice, changes: NO_CHANGES };
  const isStale = before === null || ageMs(before, atMs) > HOUR_MS;
  if (!isStale && isSwitched(slice.range, currents)) {
    return { slice: { ...slice, wet: null, sinceMs: null, range: null }, changes: NO_CHANGES };
  }
  const wet = withReading(isStale ? null : before, atMs, currents);
  const found = extraNow(slice, wet, atMs, celsius);
  if (!isStale && found !== null && isGoneAtOnce(slice.range, currents, found)) {
    return { slice: { ...slice, wet: null, sinceMs: null, range: null }, changes: NO_CHANGES };
  }
  const isLater = before !== null && ageMs(before, atMs) > BETWEEN_WETTINGS_MS;
  const known = { ...slice, damp: withDamp(slice.damp, wet, bandOf(celsius)) };
  const next = seen(isLater ? anotherWetting(known) : known, wet, atMs, found, currents.largest);
  if (next.standing !== null && next.lastAtMs !== null && atMs - next.lastAtMs >= CLOSING_MS) {
    const changes: readonly FindingChange[] = [{ change: 'closed', kind: 'phase-track', atMs }];
    const { dry, damp } = slice;
    return { slice: { ...PHASE_TRACK_START, dry, damp, wet }, changes };
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

/** A track of half an ampere makes loads up to this mean uneven by five per cent, A. */
const MADE_UNEVEN_AMPS: number = URGENT_AMPS / 0.05;

/** Whether a track that stands may be what makes the phases of so small a load uneven. */
export function makesUneven({ standing }: PhaseTrackSlice, { a, b, c }: ThreePhases): boolean {
  return standing !== null && (a + b + c) / 3 < MADE_UNEVEN_AMPS;
}

/** A small load that comes and goes at rest; a film changes by less between two looks. */
function isSwitched(range: PhaseTrackSlice['range'], { largest }: ThreePhases): boolean {
  if (range === null) return false;
  const [, , last] = range;
  return Math.abs(largest - last) > switchedAmps(last);
}

/** A film takes longer than from one look to the next to dry; what was turned off is gone. */
function isGoneAtOnce(
  range: PhaseTrackSlice['range'],
  { largest }: ThreePhases,
  { amps }: PhaseExtra,
): boolean {
  return range !== null && amps >= PLAIN_AMPS && range[2] - largest >= GONE_SHARE * amps;
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
  if (before !== null && ageMs(before, atMs) < LOOK_EVERY_MS) return { slice, changes: NO_CHANGES };
  const dry = withDry(slice.dry, atMs, currents, band);
  return { slice: { ...anotherWetting(slice), dry, wet: null }, changes: NO_CHANGES };
}

function anotherWetting(slice: PhaseTrackSlice): PhaseTrackSlice {
  return { ...slice, pair: null, sinceMs: null, range: null, counted: false };
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
  const { dry, damp, standing, lastAtMs, wettings, counted } = slice;
  const range = rangeNow(slice, wet, found, largestAmps);
  if (found === null) {
    return {
      dry,
      damp,
      wet,
      pair: null,
      sinceMs: null,
      range,
      counted,
      wettings,
      lastAtMs,
      standing,
    };
  }
  const { pair } = found;
  const sinceMs = slice.pair === pair ? (slice.sinceMs ?? atMs) : atMs;
  const isFaint = found.amps < PLAIN_AMPS;
  const follows = isFaint || range[1] - range[0] >= VARIED_SHARE * found.amps;
  const counts = follows && atMs - sinceMs >= (isFaint ? FAINT_HOLD_MS : HOLD_MS);
  return {
    dry,
    damp,
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
  wet: RestLevel,
  found: PhaseExtra | null,
  largestAmps: number,
): NonNullable<PhaseTrackSlice['range']> {
  const last = thousandths(largestAmps);
  if (found === null || !isSettledMean(wet)) return [0, 0, last];
  const [, , a, b, c] = wet;
  const amps =
    found.pair === 0 ? Math.min(a, b) : found.pair === 1 ? Math.min(b, c) : Math.min(c, a);
  if (range === null || range[1] === 0 || pair !== found.pair) return [amps, amps, last];
  return [Math.min(range[0], amps), Math.max(range[1], amps), last];
}

/** An extra current of two phases in a wet film. */
export interface PhaseExtra {
  /** Index in `PHASE_PAIRS`. */
  readonly pair: number;
  readonly amps: number;
  readonly restAmps: number;
}

/**
 * Over the dry film of this temperature; where that is not known, over what flowed in a film on the
 * days before, else over every dry film.
 */
function extraNow(
  { dry, damp }: PhaseTrackSlice,
  wet: RestLevel,
  atMs: number,
  celsius: number,
): PhaseExtra | null {
  const band = bandOf(celsius);
  const matched = dry[band] ?? null;
  if (matched !== null && isKnown(matched, atMs)) {
    return extraOf(matched, wet, LEAST_AMPS, SHARE_OF_REST);
  }
  const before = damp[band] ?? null;
  if (before !== null && isKnown(before, atMs)) {
    const extra = extraOf(before, wet, PLAIN_AMPS, SHARE_OF_DAMP);
    if (extra !== null) return extra;
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
