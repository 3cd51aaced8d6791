import { type FieldGuards, isBoolean, isNumber, isNumberOrNull, isOneOf } from '../field-guards.ts';
import type { CauseEstimate, FindingChange } from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';
import { lowestPhase, type Sample, type ThreePhases } from './sample.ts';

/**
 * One phase lost while running: an emergency at the second reading.
 *
 * Uses: `ia ib ic` while running, the three-phase current seen within the last week, poles and
 * full-load amps of the contactors, `van vbn vcn` for the cause.
 * Not taken for it: control transformer and crankcase heaters at rest (not running), and a
 * single-phase stage (its two currents are small against what the unit draws on three phases).
 * A phase that is lost at rest cannot be seen in currents.
 */
export interface PhaseLossSlice {
  readonly readings: number;
  readonly phase: 'a' | 'b' | 'c' | null;
  readonly standing: boolean;
  readonly healthyReadings: number;
  readonly healthySinceMs: number | null;
}

export const PHASE_LOSS_READINGS_TO_RAISE = 2;
/** Closes after the unit has run on three phases for this long, ... */
export const PHASE_LOSS_CLOSING_MS = 300_000;
/** ... over at least this many readings. */
const CLOSING_READINGS = 3;
/** Below this share of the smaller of the other two, a phase carries nothing. */
const LOST_SHARE = 0.15;
/** The other two must carry at least this share of the smallest three-phase stage. */
const CARRYING_SHARE_OF_SEEN = 0.7;
const CARRYING_SHARE_OF_FLA = 0.5;
/** Three-phase running that is longer ago does not vouch for the load of today. */
const THREE_PHASE_MEMORY_MS = 604_800_000;
/** A motor that keeps its load draws 1.73 times as much on two phases; field data vary widely. */
const RISEN_RATIO = 1.25;
/** The stage before the loss is compared only when it was seen this recently. */
const BEFORE_MEMORY_MS = 600_000;
const DEAD_VOLTS_SHARE = 0.3;

export const PHASE_LOSS_START: PhaseLossSlice = {
  readings: 0,
  phase: null,
  standing: false,
  healthyReadings: 0,
  healthySinceMs: null,
};

export const PHASE_LOSS_FIELDS: FieldGuards<PhaseLossSlice> = {
  readings: isNumber,
  phase: isOneOf([null, 'a', 'b', 'c']),
  standing: isBoolean,
  healthyReadings: isNumber,
  healthySinceMs: isNumberOrNull,
};

/** To be called for settled instants that bring currents. */
export function stepPhaseLoss(
  slice: PhaseLossSlice,
  sample: Sample,
  currents: ThreePhases,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): DetectorStep<PhaseLossSlice> {
  if (operating.state !== 'running') {
    // At rest nothing is learned of the third phase, neither loss nor recovery.
    const unchanged = slice.readings === 0 && slice.healthyReadings === 0;
    return {
      slice: unchanged
        ? slice
        : { ...slice, readings: 0, healthyReadings: 0, healthySinceMs: null },
      changes: NO_CHANGES,
    };
  }
  const { atMs } = sample;
  const phase = lowestPhase(currents);
  const middle = currents.a + currents.b + currents.c - currents.largest - currents.smallest;
  const lost =
    currents.smallest < LOST_SHARE * middle &&
    middle >= parameters.runningAmps &&
    loadIsThreePhase(middle, atMs, operating, parameters);
  if (!lost) return healthy(slice, atMs, operating.threePhaseAtMs === atMs);
  if (slice.standing) {
    return { slice: { ...slice, healthyReadings: 0, healthySinceMs: null }, changes: NO_CHANGES };
  }
  const readings = slice.phase === phase ? slice.readings + 1 : 1;
  const next = { ...slice, readings, phase, healthyReadings: 0, healthySinceMs: null };
  if (readings < PHASE_LOSS_READINGS_TO_RAISE) return { slice: next, changes: NO_CHANGES };
  const finding = phaseLossFinding(phase, middle, currents, sample, operating, parameters);
  return { slice: { ...next, readings: 0, standing: true }, changes: [finding] };
}

function loadIsThreePhase(
  middleAmps: number,
  atMs: number,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): boolean {
  const { threePhaseAtMs, threePhaseLowestAmps } = operating;
  const seen = threePhaseAtMs !== null && atMs - threePhaseAtMs <= THREE_PHASE_MEMORY_MS;
  if (seen && threePhaseLowestAmps !== null) {
    return middleAmps >= CARRYING_SHARE_OF_SEEN * threePhaseLowestAmps;
  }
  const { allThreePole, smallestThreePoleAmps } = parameters;
  return (
    allThreePole &&
    smallestThreePoleAmps !== null &&
    middleAmps >= CARRYING_SHARE_OF_FLA * smallestThreePoleAmps
  );
}

function healthy(
  slice: PhaseLossSlice,
  atMs: number,
  onThreePhases: boolean,
): DetectorStep<PhaseLossSlice> {
  if (!slice.standing) {
    return { slice: slice.readings === 0 ? slice : PHASE_LOSS_START, changes: NO_CHANGES };
  }
  if (!onThreePhases) return { slice, changes: NO_CHANGES };
  const healthySinceMs = slice.healthySinceMs ?? atMs;
  const healthyReadings = slice.healthyReadings + 1;
  if (healthyReadings >= CLOSING_READINGS && atMs - healthySinceMs >= PHASE_LOSS_CLOSING_MS) {
    return { slice: PHASE_LOSS_START, changes: [{ change: 'closed', kind: 'phase-loss', atMs }] };
  }
  return { slice: { ...slice, healthyReadings, healthySinceMs }, changes: NO_CHANGES };
}

/** Share by which the other two phases rose over the last three-phase reading, or null. */
function riseRatio(
  phase: 'a' | 'b' | 'c',
  currents: ThreePhases,
  operating: OperatingSlice,
  atMs: number,
): number | null {
  const { threePhaseAtMs, threePhaseAmpsA, threePhaseAmpsB, threePhaseAmpsC } = operating;
  if (threePhaseAtMs === null || atMs - threePhaseAtMs > BEFORE_MEMORY_MS) return null;
  const before =
    threePhaseAmpsA +
    threePhaseAmpsB +
    threePhaseAmpsC -
    { a: threePhaseAmpsA, b: threePhaseAmpsB, c: threePhaseAmpsC }[phase];
  const now = currents.a + currents.b + currents.c - currents[phase];
  return before > 0 ? now / before : null;
}

function phaseLossFinding(
  phase: 'a' | 'b' | 'c',
  carryingAmps: number,
  currents: ThreePhases,
  sample: Sample,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): FindingChange {
  const { atMs, groundVolts } = sample;
  const ratio = riseRatio(phase, currents, operating, atMs);
  const nominal = parameters.nominalLineVolts / Math.sqrt(3);
  const phaseVolts = groundVolts === null ? null : groundVolts[phase];
  const deadAtFuse =
    phaseVolts === null || !parameters.solidWye ? null : phaseVolts < DEAD_VOLTS_SHARE * nominal;
  return {
    change: 'opened',
    kind: 'phase-loss',
    priority: 'emergency',
    atMs,
    headline:
      `Phase ${phase.toUpperCase()} lost while running, ` +
      `the other two carry ${shortNumber(carryingAmps)} A`,
    evidence: {
      lostPhase: phase,
      phaseAAmps: evidenceNumber(currents.a),
      phaseBAmps: evidenceNumber(currents.b),
      phaseCAmps: evidenceNumber(currents.c),
      currentRatioToBefore: evidenceNumber(ratio),
      lostPhaseVolts: evidenceNumber(phaseVolts),
      readings: PHASE_LOSS_READINGS_TO_RAISE,
    },
    causes: phaseLossCauses(ratio, deadAtFuse),
  };
}

function phaseLossCauses(
  ratio: number | null,
  deadAtFuse: boolean | null,
): readonly CauseEstimate[] {
  const fuse = (probability: number, ...because: string[]): CauseEstimate => ({
    cause: 'open-fuse',
    probability,
    because,
  });
  const pole = (probability: number, ...because: string[]): CauseEstimate => ({
    cause: 'worn-pole-or-connection',
    probability,
    because,
  });
  const sensor = (probability: number, ...because: string[]): CauseEstimate => ({
    cause: 'sensor-fault',
    probability,
    because,
  });
  const outage: CauseEstimate = {
    cause: 'utility-outage',
    probability: 0.05,
    because: ['a phase may be missing from the supply'],
  };
  if (deadAtFuse === true) {
    return [fuse(0.9, 'no voltage on that phase after the fuses'), outage, pole(0.05)];
  }
  if (deadAtFuse === false) {
    return [
      pole(0.6, 'all fuses pass voltage: open past them'),
      sensor(0.35, 'the current sensor of that phase may have failed'),
      fuse(0.05),
    ];
  }
  if (ratio !== null && ratio < RISEN_RATIO) {
    return [
      sensor(0.45, 'the other two currents did not rise: the load carries on'),
      fuse(0.35, 'one phase carries nothing'),
      pole(0.15),
      outage,
    ];
  }
  const risen =
    ratio === null ? [] : ['the other two currents rose as a motor on two phases draws'];
  return [fuse(0.75, 'one phase carries nothing', ...risen), pole(0.15), outage, sensor(0.05)];
}
