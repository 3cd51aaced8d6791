import { type FieldGuards, isBoolean, isNumber, isNumberOrNull, isOneOf } from '../field-guards.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';
import { phaseLossFinding } from './phase-loss-finding.ts';
import { lowestPhase, type Sample, type ThreePhases } from './sample.ts';

/**
 * One phase lost: an emergency at the second reading.
 *
 * Uses: `ia ib ic` while running, the three-phase current seen within the last week, poles and
 * full-load amps of the contactors; `van vbn vcn` or `vab vbc vca`, also at rest, because the next
 * start would be on two phases.
 * Not taken for it: control transformer and crankcase heaters at rest, and a single-phase stage
 * (its two currents are small against what the unit draws on three phases). Without voltages a
 * phase that is lost at rest cannot be seen.
 */
export interface PhaseLossSlice {
  readonly readings: number;
  readonly phase: 'a' | 'b' | 'c' | null;
  readonly standing: boolean;
  readonly seenByVoltage: boolean;
  readonly healthyReadings: number;
  readonly healthySinceMs: number | null;
}

const PHASE_LOSS_READINGS_TO_RAISE = 2;
/** Closes after the unit has been well for this long, ... */
const PHASE_LOSS_CLOSING_MS = 300_000;
/** ... over at least this many readings. */
const CLOSING_READINGS = 3;
/** Below this share of the smaller of the other two, a phase carries nothing. */
const LOST_SHARE = 0.15;
/** The other two must carry at least this share of the smallest three-phase stage. */
const CARRYING_SHARE_OF_SEEN = 0.7;
const CARRYING_SHARE_OF_FLA = 0.5;
/** Three-phase running that is longer ago does not vouch for the load of today. */
const THREE_PHASE_MEMORY_MS = 604_800_000;
/** Motors feed an open phase back, so its voltage need not be zero. */
const LOST_VOLTS_SHARE = 0.6;
const LOST_LINE_VOLTS_SHARE = 0.75;
const PRESENT_VOLTS_SHARE = 0.8;
const ROOT_THREE: number = Math.sqrt(3);

export const PHASE_LOSS_START: PhaseLossSlice = {
  readings: 0,
  phase: null,
  standing: false,
  seenByVoltage: false,
  healthyReadings: 0,
  healthySinceMs: null,
};

export const PHASE_LOSS_FIELDS: FieldGuards<PhaseLossSlice> = {
  readings: isNumber,
  phase: isOneOf([null, 'a', 'b', 'c']),
  standing: isBoolean,
  seenByVoltage: isBoolean,
  healthyReadings: isNumber,
  healthySinceMs: isNumberOrNull,
};

/** What one kind of channel says of the phases: one is lost, all are well, or nothing. */
type Verdict = 'a' | 'b' | 'c' | 'well' | null;

/** To be called for settled instants that bring currents or voltages. */
export function stepPhaseLoss(
  slice: PhaseLossSlice,
  sample: Sample,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): DetectorStep<PhaseLossSlice> {
  const byCurrent = judgeCurrents(sample, operating, parameters);
  const byVoltage = judgeVoltages(sample, parameters);
  const currentLost = byCurrent !== null && byCurrent !== 'well';
  const voltageLost = byVoltage !== null && byVoltage !== 'well';
  if (!currentLost && !voltageLost) {
    const well = byCurrent === 'well' || (slice.seenByVoltage && byVoltage === 'well');
    return settle(slice, sample.atMs, well);
  }
  const phase = currentLost ? byCurrent : voltageLost ? byVoltage : null;
  if (slice.standing) {
    const unwell = slice.healthyReadings === 0 && slice.healthySinceMs === null;
    return {
      slice: unwell ? slice : { ...slice, healthyReadings: 0, healthySinceMs: null },
      changes: NO_CHANGES,
    };
  }
  const readings = slice.phase === phase ? slice.readings + 1 : 1;
  const next: PhaseLossSlice = { ...PHASE_LOSS_START, readings, phase, seenByVoltage: voltageLost };
  if (phase === null || readings < PHASE_LOSS_READINGS_TO_RAISE) {
    return { slice: next, changes: NO_CHANGES };
  }
  const finding = phaseLossFinding(phase, currentLost, byVoltage, sample, operating);
  return { slice: { ...next, readings: 0, standing: true }, changes: [finding] };
}

function judgeCurrents(
  { currents, atMs }: Sample,
  operating: OperatingSlice,
  parameters: DetectorParameters,
): Verdict {
  if (currents === null || operating.state !== 'running') return null;
  if (operating.threePhaseAtMs === atMs) return 'well';
  const middle = currents.a + currents.b + currents.c - currents.largest - currents.smallest;
  const lost =
    currents.smallest < LOST_SHARE * middle &&
    middle >= parameters.runningAmps &&
    loadIsThreePhase(middle, atMs, operating, parameters);
  return lost ? lowestPhase(currents) : null;
}

function judgeVoltages(
  { groundVolts, lineVolts }: Sample,
  parameters: DetectorParameters,
): Verdict {
  const nominal = parameters.nominalLineVolts;
  // Only a solidly grounded wye holds every phase at one voltage to ground.
  if (groundVolts !== null && parameters.solidWye) {
    const phaseVolts = nominal / ROOT_THREE;
    if (groundVolts.smallest >= PRESENT_VOLTS_SHARE * phaseVolts) return 'well';
    const lost =
      groundVolts.smallest < LOST_VOLTS_SHARE * phaseVolts &&
      middleOf(groundVolts) >= PRESENT_VOLTS_SHARE * phaseVolts;
    return lost ? lowestPhase(groundVolts) : null;
  }
  if (lineVolts === null) return null;
  if (lineVolts.smallest >= PRESENT_VOLTS_SHARE * nominal) return 'well';
  const lost =
    lineVolts.largest >= PRESENT_VOLTS_SHARE * nominal &&
    middleOf(lineVolts) < LOST_LINE_VOLTS_SHARE * nominal;
  if (!lost) return null;
  // The phase that the one healthy voltage does not touch.
  if (lineVolts.largest === lineVolts.a) return 'c';
  return lineVolts.largest === lineVolts.b ? 'a' : 'b';
}

function middleOf({ a, b, c, largest, smallest }: ThreePhases): number {
  return a + b + c - largest - smallest;
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

/** No loss in sight: nothing learned, or well. A rest says neither loss nor recovery. */
function settle(slice: PhaseLossSlice, atMs: number, well: boolean): DetectorStep<PhaseLossSlice> {
  if (!slice.standing) {
    return { slice: slice.readings === 0 ? slice : PHASE_LOSS_START, changes: NO_CHANGES };
  }
  if (!well) {
    const next = { ...slice, healthyReadings: 0, healthySinceMs: null };
    return { slice: slice.healthyReadings === 0 ? slice : next, changes: NO_CHANGES };
  }
  const healthySinceMs = slice.healthySinceMs ?? atMs;
  const healthyReadings = Math.min(slice.healthyReadings + 1, CLOSING_READINGS);
  if (healthyReadings >= CLOSING_READINGS && atMs - healthySinceMs >= PHASE_LOSS_CLOSING_MS) {
    return { slice: PHASE_LOSS_START, changes: [{ change: 'closed', kind: 'phase-loss', atMs }] };
  }
  return { slice: { ...slice, healthyReadings, healthySinceMs }, changes: NO_CHANGES };
}
