import { diagnose, marksText, type Seen } from '../diagnosis/diagnose.ts';
import type { FindingChange } from '../vocabulary.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import type { OperatingSlice } from './operating-state.ts';
import type { LostPhase, PhaseVerdict } from './phase-loss-verdict.ts';
import type { Sample, ThreePhases } from './sample.ts';

/** Words, numbers and causes of a lost phase. */

/** A motor that keeps its load draws 1.73 times as much on two phases; field data vary widely. */
const RISEN_RATIO = 1.25;
/** The stage before the loss is compared only when it was seen this recently. */
const BEFORE_MEMORY_MS = 600_000;

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

/** `byVoltage`: what the voltages say; null where they say nothing. */
export function phaseLossFinding(
  { phase, through }: LostPhase,
  whileRunning: boolean,
  byVoltage: PhaseVerdict,
  sample: Sample,
  operating: OperatingSlice,
): FindingChange {
  const { atMs, currents, groundVolts, lineVolts } = sample;
  const ratio = currents === null ? null : riseRatio(phase, currents, operating, atMs);
  const name = phase.toUpperCase();
  const carrying =
    currents === null
      ? 0
      : currents.a + currents.b + currents.c - currents.largest - currents.smallest;
  const marks = marksOf(through, ratio, byVoltage === null ? null : byVoltage !== 'well');
  return {
    change: 'opened',
    kind: 'phase-loss',
    priority: 'emergency',
    atMs,
    headline: headlineOf(name, through, whileRunning, carrying, byVoltage !== null),
    evidence: {
      lostPhase: through === 'direct' ? phase : null,
      doubledPhase: through === 'transformer' ? phase : null,
      operatingState: operating.state,
      phaseAAmps: evidenceNumber(currents?.a ?? null),
      phaseBAmps: evidenceNumber(currents?.b ?? null),
      phaseCAmps: evidenceNumber(currents?.c ?? null),
      currentRatioToBefore: whileRunning ? evidenceNumber(ratio) : null,
      lostPhaseToGroundVolts: evidenceNumber(groundVolts?.[phase] ?? null),
      lowestLineVolts: evidenceNumber(lineVolts?.smallest ?? null),
      highestLineVolts: evidenceNumber(lineVolts?.largest ?? null),
      marks: marksText(marks),
    },
    causes: diagnose('phase-loss', marks),
  };
}

function headlineOf(
  name: string,
  through: LostPhase['through'],
  whileRunning: boolean,
  carryingAmps: number,
  byVoltage: boolean,
): string {
  if (through === 'transformer') {
    return whileRunning
      ? `A supply phase lost upstream: phase ${name} carries twice the other two`
      : `A supply phase lost upstream: only phase ${name} has its whole voltage`;
  }
  if (whileRunning) {
    return `Phase ${name} lost while running, the other two carry ${shortNumber(carryingAmps)} A`;
  }
  const gone = byVoltage ? 'its voltage is gone' : 'its idle current went with the leakage';
  return `Phase ${name} lost: ${gone}, the next start is on two phases`;
}

function marksOf(
  through: LostPhase['through'],
  ratio: number | null,
  voltageGone: boolean | null,
): readonly Seen[] {
  if (through === 'transformer') return ['lost-ahead-of-transformer'];
  const seen: Seen[] = ['phase-carries-nothing'];
  if (voltageGone === true) seen.push('phase-volts-gone');
  if (voltageGone === false) seen.push('all-volts-there');
  if (ratio !== null) seen.push(ratio < RISEN_RATIO ? 'others-did-not-rise' : 'others-rose');
  return seen;
}
