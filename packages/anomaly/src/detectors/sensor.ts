import { type FieldGuards, hasShape, isOneOf } from '../field-guards.ts';
import type { Evidence, FindingChange } from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import { evidenceNumber } from './figures.ts';
import type { FilmHumiditySlice } from './film-humidity.ts';
import type { LeakageLevelSlice } from './leakage-level.ts';
import { isSettled, type OperatingSlice } from './operating-state.ts';
import type { OutdoorSlice } from './outdoor.ts';
import type { DetectorParameters } from './parameters.ts';
import type { Sample } from './sample.ts';
import { type SensorChannel, type SensorFault, sensorFinding } from './sensor-finding.ts';
import {
  HUMIDITY_SENSOR_FIELDS,
  HUMIDITY_SENSOR_START,
  type HumiditySensorSlice,
  stepHumiditySensor,
} from './sensor-humidity.ts';
import {
  HUMIDITY_SHIFT_FIELDS,
  HUMIDITY_SHIFT_START,
  type HumidityShiftSlice,
  stepHumidityShift,
} from './sensor-humidity-shift.ts';
import {
  isImpossible,
  isPegged,
  LEAKAGE_SENSOR_FIELDS,
  LEAKAGE_SENSOR_START,
  type LeakageSensorSlice,
  stepLeakageSensor,
} from './sensor-leakage.ts';
import {
  LEAKAGE_DRIFT_FIELDS,
  LEAKAGE_DRIFT_START,
  type LeakageDriftSlice,
  stepLeakageDrift,
} from './sensor-leakage-drift.ts';
import { isLeakageJump, type LeakageJump, stepLeakageJump } from './sensor-leakage-jump.ts';
import {
  isLowAtRest,
  PHASE_SENSOR_FIELDS,
  PHASE_SENSOR_START,
  type PhaseSensorSlice,
  stepPhaseSensors,
} from './sensor-phases.ts';

/**
 * Channels that cannot be believed, found from the readings alone: routine, one finding a unit.
 * It names the channel that failed last and lists the others. A clock that is wrong is found
 * elsewhere: its readings never come this far.
 */
export interface SensorSlice {
  readonly humidity: HumiditySensorSlice;
  readonly shift: HumidityShiftSlice;
  readonly leakage: LeakageSensorSlice;
  readonly drift: LeakageDriftSlice;
  readonly jump: LeakageJump | null;
  readonly phases: PhaseSensorSlice;
  /** The channel that the standing finding names. */
  readonly standing: SensorChannel | null;
}

const SENSOR_CHANNELS: readonly SensorChannel[] = [
  'leakage',
  'phase-a',
  'phase-b',
  'phase-c',
  'humidity',
];

export const SENSOR_START: SensorSlice = {
  humidity: HUMIDITY_SENSOR_START,
  shift: HUMIDITY_SHIFT_START,
  leakage: LEAKAGE_SENSOR_START,
  drift: LEAKAGE_DRIFT_START,
  jump: null,
  phases: PHASE_SENSOR_START,
  standing: null,
};

export const SENSOR_FIELDS: FieldGuards<SensorSlice> = {
  humidity: hasShape(HUMIDITY_SENSOR_FIELDS),
  shift: hasShape(HUMIDITY_SHIFT_FIELDS),
  leakage: hasShape(LEAKAGE_SENSOR_FIELDS),
  drift: hasShape(LEAKAGE_DRIFT_FIELDS),
  jump: isLeakageJump,
  phases: hasShape(PHASE_SENSOR_FIELDS),
  standing: isOneOf([null, ...SENSOR_CHANNELS]),
};

/** What other detectors may conclude from: false where a channel is held for faulty. */
export interface SensorCredibility {
  readonly humidity: boolean;
  readonly leakage: boolean;
  /** The leakage channel drifts or has jumped: findings that rest on it say so. */
  readonly leakageInDoubt: boolean;
  readonly phases: { readonly a: boolean; readonly b: boolean; readonly c: boolean };
  /** A phase fell alone, which may be its sensor: findings that rest on it say so. */
  readonly currentsInDoubt: boolean;
}

const ALL_CREDIBLE: SensorCredibility = {
  humidity: true,
  leakage: true,
  leakageInDoubt: false,
  phases: { a: true, b: true, c: true },
  currentsInDoubt: false,
};

/**
 * A phase is not believed from the reading on in which it fell alone, before its sensor is proven
 * faulty: no connection takes off one phase of a motor what the other two do not answer, and
 * none is in the way of what flows at rest. Leakage that is impossible is none from its first
 * reading on.
 */
export function sensorCredibility(slice: SensorSlice): SensorCredibility {
  const { humidity, shift, leakage, phases } = slice;
  const { suspicion, fault } = phases;
  const humidityHolds = humidity.fault === null && !hasShifted(shift);
  const leakageHolds = leakage.fault === null && !isImpossible(leakage) && !isPegged(leakage);
  const leakageInDoubt = slice.drift.offsetMilliamps !== null || hasJumped(slice);
  if (humidityHolds && leakageHolds && !leakageInDoubt && suspicion === null) return ALL_CREDIBLE;
  const inDoubt =
    suspicion !== null && (fault !== null || suspicion.stepSeen || isLowAtRest(suspicion));
  const failed = inDoubt ? suspicion.phase : null;
  return {
    humidity: humidityHolds,
    leakage: leakageHolds,
    leakageInDoubt,
    phases: { a: failed !== 'a', b: failed !== 'b', c: failed !== 'c' },
    currentsInDoubt: inDoubt,
  };
}

/** What is known from before, with the newest leakage that was judged and the film at that time. */
interface SensorBefore {
  readonly sensor: SensorSlice;
  readonly level: LeakageLevelSlice;
  readonly film: FilmHumiditySlice;
}

/** To be called for every instant, before what reasons from the channels. */
export function stepSensor(
  { sensor: slice, level, film }: SensorBefore,
  sample: Sample,
  operating: OperatingSlice,
  outdoor: OutdoorSlice,
  waterIsAbout: boolean,
  parameters: DetectorParameters,
): DetectorStep<SensorSlice> {
  const { atMs, air, doorOpen } = sample;
  const settled = isSettled(operating, atMs);
  // Frozen water brings vapour too, before anything melts.
  const water = waterIsAbout || outdoor.snowMillimetres > 0;
  const next: SensorSlice = {
    humidity:
      air === null
        ? slice.humidity
        : stepHumiditySensor(slice.humidity, atMs, air, doorOpen, outdoor),
    shift:
      air === null
        ? slice.shift
        : stepHumidityShift(slice.shift, slice.humidity, atMs, air, doorOpen, outdoor, water),
    leakage: settled ? stepLeakageSensor(slice.leakage, sample, operating) : slice.leakage,
    // Where the supply floats, a fault elsewhere raises what every unit leaks in health.
    drift: parameters.groundingLimitsFaultCurrent
      ? slice.drift
      : stepLeakageDrift(slice.drift, level, film, slice.leakage.milliamps),
    jump: stepLeakageJump(slice.jump, level),
    phases: settled ? stepPhaseSensors(slice.phases, sample, operating, parameters) : slice.phases,
    standing: slice.standing,
  };
  return sameFaults(slice, next) ? { slice: next, changes: NO_CHANGES } : speak(slice, next, atMs);
}

/** Whether the leakage channel reads more since one moment, by the same number under every load. */
export function hasJumped({ jump }: SensorSlice): boolean {
  return jump?.fault ?? false;
}

function hasShifted({ step }: HumidityShiftSlice): boolean {
  return step?.fault ?? false;
}

function sameFaults(before: SensorSlice, next: SensorSlice): boolean {
  return (
    before.humidity.fault === next.humidity.fault &&
    hasShifted(before.shift) === hasShifted(next.shift) &&
    before.leakage.fault === next.leakage.fault &&
    hasJumped(before) === hasJumped(next) &&
    (before.drift.offsetMilliamps === null) === (next.drift.offsetMilliamps === null) &&
    before.phases.fault === next.phases.fault
  );
}

function speak(before: SensorSlice, next: SensorSlice, atMs: number): DetectorStep<SensorSlice> {
  const { standing } = next;
  const newly = SENSOR_CHANNELS.find(
    (channel) => faultOf(next, channel) !== null && faultOf(before, channel) === null,
  );
  if (newly === undefined) {
    const over =
      standing !== null && SENSOR_CHANNELS.every((channel) => faultOf(next, channel) === null);
    if (!over) return { slice: next, changes: NO_CHANGES };
    const changes: readonly FindingChange[] = [{ change: 'closed', kind: 'sensor', atMs }];
    return { slice: { ...next, standing: null }, changes };
  }
  const fault = faultOf(next, newly);
  if (fault === null) return { slice: next, changes: NO_CHANGES };
  const others = SENSOR_CHANNELS.filter(
    (channel) => channel !== newly && faultOf(next, channel) !== null,
  );
  const opened = sensorFinding(atMs, newly, fault, others, figuresOf(next, newly));
  const changes: readonly FindingChange[] =
    standing === null ? [opened] : [{ change: 'closed', kind: 'sensor', atMs }, opened];
  return { slice: { ...next, standing: newly }, changes };
}

function faultOf(slice: SensorSlice, channel: SensorChannel): SensorFault | null {
  if (channel === 'humidity') {
    return slice.humidity.fault ?? (hasShifted(slice.shift) ? 'humidity-shifted' : null);
  }
  if (channel === 'leakage') {
    const { leakage, drift } = slice;
    if (leakage.fault !== null) return leakage.fault;
    if (drift.offsetMilliamps !== null) return 'leakage-drifts';
    return hasJumped(slice) ? 'leakage-jumped' : null;
  }
  return slice.phases.suspicion?.phase === channel.slice(-1) ? slice.phases.fault : null;
}

function figuresOf(slice: SensorSlice, channel: SensorChannel): Evidence {
  const { humidity, shift, leakage, phases } = slice;
  if (channel === 'humidity') {
    return {
      relativeHumidityPercent: evidenceNumber(humidity.percent),
      airCelsius: evidenceNumber(humidity.celsius),
      coolestWhileFlatCelsius: evidenceNumber(humidity.flat?.coolestCelsius ?? null),
      warmestWhileFlatCelsius: evidenceNumber(humidity.flat?.warmestCelsius ?? null),
      stepPercent: evidenceNumber(shift.step?.percent ?? null),
      shiftPercent: evidenceNumber(shift.step?.shiftPercent ?? null),
    };
  }
  if (channel === 'leakage') {
    return {
      leakageMilliamps: evidenceNumber(leakage.milliamps),
      driftMilliamps: evidenceNumber(slice.drift.offsetMilliamps),
      jumpAtRestMilliamps: evidenceNumber(slice.jump?.restMilliamps ?? null),
      jumpUnderLoadMilliamps: evidenceNumber(slice.jump?.loadMilliamps ?? null),
      largestPhaseAmps: evidenceNumber(leakage.largestAmps),
      usualRunningMilliamps: evidenceNumber(leakage.usualRunningMilliamps),
    };
  }
  return {
    phaseAAmps: evidenceNumber(phases.lastA),
    phaseBAmps: evidenceNumber(phases.lastB),
    phaseCAmps: evidenceNumber(phases.lastC),
    lowestRatioToUsual: evidenceNumber(phases.suspicion?.lowestRatio ?? null),
    highestRatioToUsual: evidenceNumber(phases.suspicion?.highestRatio ?? null),
    fallSeenAtOnce: phases.suspicion?.stepSeen ?? false,
    seenAtRest: ((phases.suspicion?.lowStages ?? 0) & 1) !== 0,
  };
}
