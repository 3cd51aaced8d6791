import type { MarkName } from '../diagnosis/evidence-table.ts';
import { isDue, isTold, reconsider, type Told, toldBy } from '../diagnosis/reconsider.ts';
import { type FieldGuards, isNumber, isNumberOrNull, isOneOf } from '../field-guards.ts';
import { isHigher } from '../priority-order.ts';
import { type FindingChange, PRIORITIES, type Priority } from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import { type DwellMs, hasDwelt, nextDwell } from './dwell.ts';
import { isSameLoad, type LeakageLevelSlice } from './leakage-level.ts';
import { SUDDEN_SHARE, steadyOffsetMilliamps } from './leakage-step.ts';
import { moistureFinding } from './moisture-finding.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { OutdoorSlice } from './outdoor.ts';
import { compartmentIsWet, type WetnessSlice } from './wetness.ts';

/**
 * Water that matters. Never raised for humidity alone.
 *
 * Uses: wetness, vapour-pressure excess over the air outside, leakage against its level in the same
 * operating state while dry.
 * Routine: water got in (an excess beyond the sensors' error for two hours after rain or melt,
 * above freezing; air that reads saturated counts a sixth, for a sensor sticks there after dew and
 * frost of building air thaws there, while water that got in keeps a compartment damp as well), or
 * wetness that the weather does not explain (24 hours of it, wet by ISO 9223 with such an excess
 * while the air outside is dry; hours that are not wet take a quarter back). Without an outdoor
 * station the season explains everything.
 * Urgent: a wet plate with leakage responding (at least 3 mA and three times its dry level under
 * the same load, and 3 mA above what is healthy in such a film, at two readings over five minutes).
 * What came at once is no answer, nor what is left of it as it decays: a film wets slower, a damp
 * heater element, a filter or an arrester comes so, and leakage has limits of its own.
 * Closes after two hours dry, without excess, without response; once leakage has responded, after
 * two days without response, so that a track that wets each night is one finding; after water that
 * got in, after two weeks without, so that a leak is one finding over the rains that find it; or
 * two hours after a repair.
 */
export interface MoistureSlice {
  readonly atMs: number | null;
  readonly excessMs: DwellMs;
  readonly respondingReadings: number;
  readonly respondingSinceMs: number | null;
  /** What came at once and has not gone again, as it was then, mA; null when nothing did. */
  readonly suddenMilliamps: number | null;
  /** Until when what was seen may come back: a finding stands at least so long. */
  readonly mayReturnUntilMs: number | null;
  readonly beyondWeatherMs: number;
  readonly calmMs: DwellMs;
  readonly standing: Priority | null;
  readonly told: Told | null;
}

const MINUTE_MS = 60_000;
/** Dew that dries off makes an excess too, but not for that long. */
const INGRESS_HOLD_MS: number = 120 * MINUTE_MS;
const RESPONSE_HOLD_MS: number = 5 * MINUTE_MS;
const RESPONSE_READINGS = 2;
const MOISTURE_CLOSING_MS: number = 120 * MINUTE_MS;
/** Bridges one dry night. */
const RESPONSE_MEMORY_MS: number = 48 * 60 * MINUTE_MS;
/** A leak shows only in rain that comes its way: this bridges two weeks without. */
const WATER_MEMORY_MS: number = 14 * 24 * 60 * MINUTE_MS;
/** Three wet nights and the mornings after them. Common practice, no source. */
const BEYOND_WEATHER_MS: number = 24 * 60 * MINUTE_MS;
const BEYOND_WEATHER_OVER_MS: number = BEYOND_WEATHER_MS / 2;
/** Hours that are not wet count so much against those that are. */
const NOT_WET_SHARE = 0.25;
/** Outdoor air below this does not wet a surface (ISO 9223: 80 %RH), sensors' error considered. */
const DRY_OUTSIDE_PERCENT = 75;
const MOST_GAP_MS: number = 30 * MINUTE_MS;
/** A dew-point margin is good to 1 K at best (common practice). */
const MARGIN_ERROR_KELVIN = 1;
const RESPONSE_LEAST_MILLIAMPS = 3;
const RESPONSE_RATIO = 3;
/** After dew a sensor sticks there for up to nine or ten hours (common practice). */
const SATURATED_SHARE = 1 / 6;
/** Frozen water has wetted nothing yet, though snow and frost give off vapour too. */
const THAWED_CELSIUS = 1;
/** Leakage this old does not answer the air of now. */
const LEAKAGE_STALE_MS: number = 10 * MINUTE_MS;

export const MOISTURE_START: MoistureSlice = {
  atMs: null,
  excessMs: null,
  respondingReadings: 0,
  respondingSinceMs: null,
  suddenMilliamps: null,
  mayReturnUntilMs: null,
  beyondWeatherMs: 0,
  calmMs: null,
  standing: null,
  told: null,
};

export const MOISTURE_FIELDS: FieldGuards<MoistureSlice> = {
  atMs: isNumberOrNull,
  excessMs: isNumberOrNull,
  respondingReadings: isNumber,
  respondingSinceMs: isNumberOrNull,
  suddenMilliamps: isNumberOrNull,
  mayReturnUntilMs: isNumberOrNull,
  beyondWeatherMs: isNumber,
  calmMs: isNumberOrNull,
  standing: isOneOf([null, ...PRIORITIES]),
  told: isTold,
};

/** What else the detector needs to know of this instant. */
export interface MoistureContext {
  readonly wetness: WetnessSlice;
  readonly outdoor: OutdoorSlice;
  readonly level: LeakageLevelSlice;
  readonly operating: OperatingSlice;
  /** False while the humidity sensor is held for stuck. */
  readonly humidityIsCredible: boolean;
  /** Which fuses were last replaced without a root cause, as a mark. */
  readonly fuses: MarkName | null;
}

/** To be called for instants that bring the compartment's air. */
export function stepMoisture(
  slice: MoistureSlice,
  atMs: number,
  context: MoistureContext,
): DetectorStep<MoistureSlice> {
  const { wetness, level, operating } = context;
  const elapsedMs = slice.atMs === null ? 0 : atMs - slice.atMs;
  const startsOrGoesOn = wetness.waterIsAbout || slice.excessMs !== null;
  const thawed = (wetness.celsius ?? 0) > THAWED_CELSIUS;
  const excess = wetness.excessIsReal && startsOrGoesOn && thawed;
  const dryMilliamps = dryLevel(level, operating);
  const suddenMilliamps = suddenNow(slice, level);
  const responding =
    leakageResponds(atMs, wetness, level, dryMilliamps) &&
    (suddenMilliamps ?? 0) < SUDDEN_SHARE * beyondHealth(level);
  const beyondWeatherMs = nextBeyondWeather(slice.beyondWeatherMs, elapsedMs, context);
  const doubtful = excess && wetness.saturated;
  const countedMs = doubtful ? (wetness.waterIsAbout ? SATURATED_SHARE : 0) * elapsedMs : elapsedMs;
  const excessMs = nextDwell(slice.excessMs, excess, countedMs, INGRESS_HOLD_MS);
  const memoryMs = memoryOf(responding, excess && hasDwelt(excessMs, INGRESS_HOLD_MS));
  const calm =
    !compartmentIsWet(wetness) &&
    !wetness.excessIsReal &&
    !responding &&
    beyondWeatherMs < BEYOND_WEATHER_OVER_MS;
  const next: MoistureSlice = {
    atMs,
    excessMs,
    respondingReadings: responding ? Math.min(slice.respondingReadings + 1, RESPONSE_READINGS) : 0,
    respondingSinceMs: responding ? (slice.respondingSinceMs ?? atMs) : null,
    suddenMilliamps,
    mayReturnUntilMs:
      memoryMs > 0
        ? Math.max(slice.mayReturnUntilMs ?? 0, atMs + memoryMs)
        : slice.mayReturnUntilMs,
    beyondWeatherMs,
    calmMs: calm ? nextDwell(slice.calmMs, true, elapsedMs, MOISTURE_CLOSING_MS) : null,
    standing: slice.standing,
    told: slice.told,
  };
  if (next.standing !== null && isOver(next, atMs)) {
    const changes: readonly FindingChange[] = [{ change: 'closed', kind: 'moisture', atMs }];
    return { slice: { ...MOISTURE_START, atMs, beyondWeatherMs }, changes };
  }
  const reached = reachedPriority(next, atMs);
  const rises = reached !== null && isHigher(reached, next.standing);
  // Of a film that dries nothing can be learned.
  const looksAgain = reached !== null && reached === next.standing && isDue(next.told, atMs);
  if (!rises && !looksAgain) return { slice: next, changes: NO_CHANGES };
  const change = next.standing === null ? 'opened' : 'escalated';
  const water = hasDwelt(next.excessMs, INGRESS_HOLD_MS);
  const reason = reached === 'urgent' ? 'response' : water ? 'ingress' : 'beyond-weather';
  const finding = moistureFinding(change, reason, atMs, context, dryMilliamps);
  if (!rises && next.told !== null) {
    const again = reconsider(next.told, finding);
    return { slice: { ...next, told: again.told }, changes: again.changes };
  }
  return { slice: { ...next, standing: reached, told: toldBy(finding) }, changes: [finding] };
}

/** After a repair, what was seen before it says nothing of tomorrow. */
export function repairMoisture(slice: MoistureSlice): MoistureSlice {
  return { ...slice, excessMs: null, mayReturnUntilMs: null };
}

function isOver({ calmMs, mayReturnUntilMs }: MoistureSlice, atMs: number): boolean {
  return hasDwelt(calmMs, MOISTURE_CLOSING_MS) && atMs >= (mayReturnUntilMs ?? atMs);
}

function memoryOf(responding: boolean, water: boolean): number {
  if (water) return WATER_MEMORY_MS;
  return responding ? RESPONSE_MEMORY_MS : 0;
}

function nextBeyondWeather(
  beforeMs: number,
  elapsedMs: number,
  { wetness, outdoor, humidityIsCredible }: MoistureContext,
): number {
  const countedMs = Math.min(elapsedMs, MOST_GAP_MS);
  if (!wetness.wetByIso) return Math.max(beforeMs - NOT_WET_SHARE * countedMs, 0);
  // Without a report of the last hours there is no excess either.
  const dryOutside =
    wetness.excessPascals !== null && (outdoor.humidityPercent ?? 100) < DRY_OUTSIDE_PERCENT;
  const unexplained = dryOutside && wetness.excessIsReal && humidityIsCredible;
  return unexplained ? Math.min(beforeMs + countedMs, BEYOND_WEATHER_MS) : beforeMs;
}

function reachedPriority(slice: MoistureSlice, atMs: number): Priority | null {
  const { respondingReadings, respondingSinceMs } = slice;
  const responded =
    respondingSinceMs !== null &&
    respondingReadings >= RESPONSE_READINGS &&
    atMs - respondingSinceMs >= RESPONSE_HOLD_MS;
  if (responded) return 'urgent';
  const beyond = slice.beyondWeatherMs >= BEYOND_WEATHER_MS;
  return beyond || hasDwelt(slice.excessMs, INGRESS_HOLD_MS) ? 'routine' : null;
}

/** Like with like: a start adds the load's own leakage and the sensor's load error. */
function dryLevel(level: LeakageLevelSlice, operating: OperatingSlice): number | null {
  if (operating.state === 'idle') return level.dryIdleMilliamps;
  const running = operating.state === 'running' && isSameLoad(level, operating);
  return running ? level.dryRunningMilliamps : null;
}

/** Beyond health, mA, with what came at once. */
function beyondHealth({ milliamps, excessMilliamps, step }: LeakageLevelSlice): number {
  return (excessMilliamps ?? milliamps ?? 0) + steadyOffsetMilliamps(step);
}

function suddenNow(slice: MoistureSlice, level: LeakageLevelSlice): number | null {
  const { step } = level.step;
  if (step !== null) return step.milliamps;
  return beyondHealth(level) >= RESPONSE_LEAST_MILLIAMPS ? slice.suddenMilliamps : null;
}

function leakageResponds(
  atMs: number,
  wetness: WetnessSlice,
  level: LeakageLevelSlice,
  dryMilliamps: number | null,
): boolean {
  const { milliamps } = level;
  if (milliamps === null || level.atMs === null || atMs - level.atMs > LEAKAGE_STALE_MS) {
    return false;
  }
  const wetPlate =
    wetness.wet && wetness.marginKelvin !== null && wetness.marginKelvin <= MARGIN_ERROR_KELVIN;
  return (
    wetPlate &&
    dryMilliamps !== null &&
    (level.excessMilliamps ?? milliamps) >= RESPONSE_LEAST_MILLIAMPS &&
    milliamps >= RESPONSE_RATIO * dryMilliamps
  );
}
