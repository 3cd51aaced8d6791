import { type FieldGuards, isNumber, isNumberOrNull, isOneOf } from '../field-guards.ts';
import { isHigher } from '../priority-order.ts';
import {
  type CauseEstimate,
  type FindingChange,
  PRIORITIES,
  type Priority,
  type WettingSource,
} from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import { type DwellMs, hasDwelt, nextDwell } from './dwell.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import type { LeakageLevelSlice } from './leakage-level.ts';
import type { OperatingSlice } from './operating-state.ts';
import { compartmentIsWet, type WetnessSlice } from './wetness.ts';
import { wettingSource } from './wetting-episode.ts';

/**
 * Water that matters. Never raised for humidity alone.
 *
 * Uses: wetness, vapour-pressure excess after rain or melt, leakage against its level in the same
 * operating state while dry.
 * Routine: water got in (an excess beyond the sensors' error for two hours after rain or melt).
 * Urgent: a wet plate with leakage responding (at least 3 mA and three times its dry level, at
 * two readings over five minutes). Closes after two hours dry, without excess, without response.
 */
export interface MoistureSlice {
  readonly atMs: number | null;
  readonly excessMs: DwellMs;
  readonly respondingReadings: number;
  readonly respondingSinceMs: number | null;
  readonly calmMs: DwellMs;
  readonly standing: Priority | null;
}

const MINUTE_MS = 60_000;
/** Dew that dries off makes an excess too, but not for that long. */
const INGRESS_HOLD_MS: number = 120 * MINUTE_MS;
const RESPONSE_HOLD_MS: number = 5 * MINUTE_MS;
const RESPONSE_READINGS = 2;
const MOISTURE_CLOSING_MS: number = 120 * MINUTE_MS;
/** A dew-point margin is good to 1 K at best (common practice). */
const MARGIN_ERROR_KELVIN = 1;
const RESPONSE_LEAST_MILLIAMPS = 3;
const RESPONSE_RATIO = 3;
/** Leakage this old does not answer the air of now. */
const LEAKAGE_STALE_MS: number = 10 * MINUTE_MS;

export const MOISTURE_START: MoistureSlice = {
  atMs: null,
  excessMs: null,
  respondingReadings: 0,
  respondingSinceMs: null,
  calmMs: null,
  standing: null,
};

export const MOISTURE_FIELDS: FieldGuards<MoistureSlice> = {
  atMs: isNumberOrNull,
  excessMs: isNumberOrNull,
  respondingReadings: isNumber,
  respondingSinceMs: isNumberOrNull,
  calmMs: isNumberOrNull,
  standing: isOneOf([null, ...PRIORITIES]),
};

/** To be called for instants that bring the compartment's air. */
export function stepMoisture(
  slice: MoistureSlice,
  atMs: number,
  wetness: WetnessSlice,
  level: LeakageLevelSlice,
  operating: OperatingSlice,
): DetectorStep<MoistureSlice> {
  const elapsedMs = slice.atMs === null ? 0 : atMs - slice.atMs;
  const startsOrGoesOn = wetness.waterIsAbout || slice.excessMs !== null;
  const excess = wetness.excessIsReal && startsOrGoesOn;
  const dryMilliamps = dryLevel(level, operating);
  const responding = leakageResponds(atMs, wetness, level, dryMilliamps);
  const calm = !compartmentIsWet(wetness) && !wetness.excessIsReal && !responding;
  const next: MoistureSlice = {
    atMs,
    excessMs: nextDwell(slice.excessMs, excess, elapsedMs, INGRESS_HOLD_MS),
    respondingReadings: responding ? Math.min(slice.respondingReadings + 1, RESPONSE_READINGS) : 0,
    respondingSinceMs: responding ? (slice.respondingSinceMs ?? atMs) : null,
    calmMs: calm ? nextDwell(slice.calmMs, true, elapsedMs, MOISTURE_CLOSING_MS) : null,
    standing: slice.standing,
  };
  if (next.standing !== null && hasDwelt(next.calmMs, MOISTURE_CLOSING_MS)) {
    const changes: readonly FindingChange[] = [{ change: 'closed', kind: 'moisture', atMs }];
    return { slice: { ...MOISTURE_START, atMs }, changes };
  }
  const reached = reachedPriority(next, atMs);
  if (reached === null || !isHigher(reached, next.standing)) {
    return { slice: next, changes: NO_CHANGES };
  }
  const change = next.standing === null ? 'opened' : 'escalated';
  const finding = moistureFinding(change, reached, atMs, wetness, level, dryMilliamps);
  return { slice: { ...next, standing: reached }, changes: [finding] };
}

function reachedPriority(slice: MoistureSlice, atMs: number): Priority | null {
  const { respondingReadings, respondingSinceMs } = slice;
  const responded =
    respondingSinceMs !== null &&
    respondingReadings >= RESPONSE_READINGS &&
    atMs - respondingSinceMs >= RESPONSE_HOLD_MS;
  if (responded) return 'urgent';
  return hasDwelt(slice.excessMs, INGRESS_HOLD_MS) ? 'routine' : null;
}

/** Like with like: a start adds the load's own leakage and the sensor's load error. */
function dryLevel(level: LeakageLevelSlice, operating: OperatingSlice): number | null {
  if (operating.state === 'idle') return level.dryIdleMilliamps;
  return operating.state === 'running' ? level.dryRunningMilliamps : null;
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
    milliamps >= RESPONSE_LEAST_MILLIAMPS &&
    milliamps >= RESPONSE_RATIO * dryMilliamps
  );
}

function moistureFinding(
  change: 'opened' | 'escalated',
  priority: Priority,
  atMs: number,
  wetness: WetnessSlice,
  level: LeakageLevelSlice,
  dryMilliamps: number | null,
): FindingChange {
  const leakage = level.milliamps;
  const responding = priority === 'urgent';
  const source: WettingSource =
    wetness.open === null ? 'humid-weather' : wettingSource(wetness.open);
  return {
    change,
    kind: 'moisture',
    priority,
    atMs,
    headline: responding
      ? `Wet inside and leakage answers: ${shortNumber(leakage ?? 0)} mA, ` +
        `${shortNumber(dryMilliamps ?? 0)} mA when dry`
      : 'Water got in: air inside stays wetter than outside after rain or melt',
    evidence: {
      vapourPressureExcessPascals: evidenceNumber(wetness.excessPascals),
      usualVapourPressureExcessPascals: evidenceNumber(wetness.usualExcessPascals),
      relativeHumidityPercent: evidenceNumber(wetness.humidityPercent),
      dewPointMarginKelvin: evidenceNumber(wetness.marginKelvin),
      marginInferredFromAir: wetness.marginInferred,
      leakageMilliamps: evidenceNumber(leakage),
      dryLeakageMilliamps: evidenceNumber(dryMilliamps),
      rainOrMeltWithinLastDay: wetness.waterIsAbout,
      outdoorReference: wetness.excessPascals !== null,
    },
    causes: responding ? respondingCauses(source) : INGRESS_CAUSES,
  };
}

const INGRESS_CAUSES: readonly CauseEstimate[] = [
  {
    cause: 'water-ingress',
    probability: 0.8,
    because: ['more vapour inside than outside for two hours, beyond the error of both sensors'],
  },
  {
    cause: 'condensation',
    probability: 0.1,
    because: ['dew or frost that dries off makes an excess for a while'],
  },
  { cause: 'unknown', probability: 0.1, because: ['a humidity sensor may stick after a wetting'] },
];

function respondingCauses(source: WettingSource): readonly CauseEstimate[] {
  return [
    {
      cause: source,
      probability: 0.5,
      because: ['the compartment is wet'],
    },
    {
      cause: 'line-side-track-to-ground',
      probability: 0.4,
      because: ['leakage rose at least threefold with the wetting'],
    },
    { cause: 'unknown', probability: 0.1, because: [] },
  ];
}
