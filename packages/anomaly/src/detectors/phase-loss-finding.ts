import type { CauseEstimate, FindingChange } from '../vocabulary.ts';
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
  return {
    change: 'opened',
    kind: 'phase-loss',
    priority: 'emergency',
    atMs,
    headline: headlineOf(name, through, whileRunning, carrying),
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
    },
    causes:
      through === 'transformer'
        ? TRANSFORMER_CAUSES
        : phaseLossCauses(ratio, byVoltage === null ? null : byVoltage !== 'well'),
  };
}

function headlineOf(
  name: string,
  through: LostPhase['through'],
  whileRunning: boolean,
  carryingAmps: number,
): string {
  if (through === 'transformer') {
    return whileRunning
      ? `A supply phase lost upstream: phase ${name} carries twice the other two`
      : `A supply phase lost upstream: only phase ${name} has its whole voltage`;
  }
  return whileRunning
    ? `Phase ${name} lost while running, the other two carry ${shortNumber(carryingAmps)} A`
    : `Phase ${name} lost: its voltage is gone, the next start is on two phases`;
}

const TRANSFORMER_CAUSES: readonly CauseEstimate[] = [
  {
    cause: 'utility-outage',
    probability: 0.75,
    because: ['one phase double and two alike is a phase missing ahead of a transformer'],
  },
  { cause: 'open-fuse', probability: 0.2, because: ['a fuse ahead of that transformer'] },
  { cause: 'unknown', probability: 0.05, because: [] },
];

function phaseLossCauses(
  ratio: number | null,
  voltageGone: boolean | null,
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
    probability: 0.1,
    because: ['a phase may be missing from the supply'],
  };
  if (voltageGone === true) {
    return [fuse(0.85, 'the voltage of that phase is gone'), outage, pole(0.05)];
  }
  if (voltageGone === false) {
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
      pole(0.1),
      outage,
    ];
  }
  const risen =
    ratio === null ? [] : ['the other two currents rose as a motor on two phases draws'];
  return [fuse(0.75, 'one phase carries nothing', ...risen), pole(0.1), outage, sensor(0.05)];
}
