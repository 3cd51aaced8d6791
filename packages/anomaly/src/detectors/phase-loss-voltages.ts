import type { DetectorParameters } from './parameters.ts';
import { LOST, type PhaseVerdict } from './phase-loss-verdict.ts';
import { lowestPhase, type Sample, type ThreePhases } from './sample.ts';

/** Motors feed an open phase back, so its voltage need not be zero. */
const LOST_VOLTS_SHARE = 0.6;
const LOST_LINE_VOLTS_SHARE = 0.75;
const PRESENT_VOLTS_SHARE = 0.8;
/** Behind a delta-wye transformer two phases have half their voltage, and none between them. */
const HALF_VOLTS_LEAST = 0.35;
const HALF_VOLTS_MOST = 0.65;
const TOGETHER_VOLTS_SHARE = 0.3;
const ROOT_THREE: number = Math.sqrt(3);

/**
 * What the voltages after the fuses say of the phases, also at rest. Voltages to ground count on a
 * solidly grounded wye only: no other system holds every phase at one voltage to ground.
 */
export function phasesByVoltage(
  { groundVolts, lineVolts }: Sample,
  { nominalLineVolts, solidWye }: DetectorParameters,
): PhaseVerdict {
  if (groundVolts !== null && solidWye) {
    return byGroundVolts(groundVolts, nominalLineVolts / ROOT_THREE);
  }
  return lineVolts === null ? null : byLineVolts(lineVolts, nominalLineVolts);
}

function byGroundVolts(volts: ThreePhases, nominal: number): PhaseVerdict {
  if (volts.smallest >= PRESENT_VOLTS_SHARE * nominal) return 'well';
  if (volts.largest < PRESENT_VOLTS_SHARE * nominal) return null;
  const middle = middleOf(volts);
  if (middle >= PRESENT_VOLTS_SHARE * nominal) {
    return volts.smallest < LOST_VOLTS_SHARE * nominal ? LOST.direct[lowestPhase(volts)] : null;
  }
  const isHalf = (share: number): boolean =>
    share >= HALF_VOLTS_LEAST * nominal && share <= HALF_VOLTS_MOST * nominal;
  return isHalf(middle) && isHalf(volts.smallest) ? LOST.transformer[highestPhase(volts)] : null;
}

function byLineVolts(volts: ThreePhases, nominal: number): PhaseVerdict {
  if (volts.smallest >= PRESENT_VOLTS_SHARE * nominal) return 'well';
  const middle = middleOf(volts);
  if (volts.largest >= PRESENT_VOLTS_SHARE * nominal && middle < LOST_LINE_VOLTS_SHARE * nominal) {
    // The phase that the one healthy voltage does not touch.
    return LOST.direct[phaseOutside(volts, volts.largest)];
  }
  const half =
    middle >= LOST_LINE_VOLTS_SHARE * nominal && volts.smallest < TOGETHER_VOLTS_SHARE * nominal;
  return half ? LOST.transformer[phaseOutside(volts, volts.smallest)] : null;
}

/** The phase that this line voltage (ab, bc, ca as a, b, c) is not measured at. */
function phaseOutside({ a, b }: ThreePhases, volts: number): 'a' | 'b' | 'c' {
  if (volts === a) return 'c';
  return volts === b ? 'a' : 'b';
}

function highestPhase({ a, b, largest }: ThreePhases): 'a' | 'b' | 'c' {
  if (a === largest) return 'a';
  return b === largest ? 'b' : 'c';
}

function middleOf({ a, b, c, largest, smallest }: ThreePhases): number {
  return a + b + c - largest - smallest;
}
