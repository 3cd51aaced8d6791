import { diagnose, marksText, type Seen } from '../diagnosis/diagnose.ts';
import type { FindingChange, Priority } from '../vocabulary.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import { lowestPhase, type Sample } from './sample.ts';
import type { UnbalanceSlice } from './unbalance.ts';
import type { CurrentJudgement, CurrentUnbalance } from './unbalance-current.ts';
import { areSeveralLoads, type Excess } from './unbalance-stages.ts';
import type { VoltageUnbalance } from './unbalance-voltage.ts';

/**
 * Words, numbers and marks of an unbalance finding.
 *
 * Current unbalance is commonly six to ten times the voltage unbalance at full load, and more at
 * part load: the current that uneven voltages drive does not shrink with the load. So what the
 * voltage explains is not laid at a contactor's door. Without voltages the stages tell: what comes
 * from the supply is on every load, a worn pole on its own.
 */
const EXPLAINED_RATIO = 16;
/** Below this a voltmeter's error is all there is. */
const LEAST_VOLTAGE_PERCENT = 0.5;
/** Voltages this uneven shift currents by what a routine limit asks for. */
const EXPLAINING_PERCENT = 0.8;
/** Voltages that are older say nothing of these currents. */
const VOLTAGE_STALE_MS = 900_000;

/** True when fresh line voltages are uneven enough to shift the currents of every motor. */
export function voltageExplains({ atMs, percent }: VoltageUnbalance, nowMs: number): boolean {
  return atMs !== null && nowMs - atMs <= VOLTAGE_STALE_MS && (percent ?? 0) >= EXPLAINING_PERCENT;
}

export function unbalanceFinding(
  change: 'opened' | 'escalated',
  priority: Priority,
  by: 'current' | 'voltage',
  { current, voltage }: UnbalanceSlice,
  { atMs, currents }: Sample,
  judged: CurrentJudgement | null,
): FindingChange {
  const voltageKnown = voltage.atMs !== null && atMs - voltage.atMs <= VOLTAGE_STALE_MS;
  const voltagePercent = voltageKnown ? voltage.percent : null;
  const excess = judged?.excess ?? null;
  const learned = judged?.learned ?? false;
  const lowest = excess === null ? null : lowestOf(excess);
  const marks: readonly Seen[] =
    by === 'voltage'
      ? ['volts-unbalanced']
      : marksOf(current, excess?.percent ?? 0, voltagePercent, learned);
  return {
    change,
    kind: 'unbalance',
    priority,
    atMs,
    headline:
      by === 'voltage'
        ? `Supply voltage unbalance ${shortNumber(voltage.percent ?? 0)} %`
        : `Current unbalance ${shortNumber(current.percent ?? 0)} % while running` +
          (lowest === null ? '' : `, phase ${lowest.toUpperCase()} lowest`),
    evidence: {
      currentUnbalancePercent: evidenceNumber(current.percent),
      overUsualPercent: evidenceNumber(excess?.percent ?? null),
      voltageUnbalancePercent: evidenceNumber(voltagePercent),
      phaseAAmps: evidenceNumber(currents?.a ?? null),
      phaseBAmps: evidenceNumber(currents?.b ?? null),
      phaseCAmps: evidenceNumber(currents?.c ?? null),
      normalForThisStageLearned: learned,
      marks: marksText(marks),
    },
    causes: diagnose('unbalance', marks),
  };
}

function lowestOf({ a, b, c }: Excess): 'a' | 'b' | 'c' {
  return lowestPhase({ a, b, c, largest: Math.max(a, b, c), smallest: Math.min(a, b, c) });
}

function marksOf(
  current: CurrentUnbalance,
  excessPercent: number,
  voltagePercent: number | null,
  learned: boolean,
): readonly Seen[] {
  const seen: Seen[] = learned ? [] : ['stage-not-learned'];
  if (voltagePercent === null) return [...seen, ...marksByStage(current)];
  const explained =
    voltagePercent >= LEAST_VOLTAGE_PERCENT && excessPercent <= EXPLAINED_RATIO * voltagePercent;
  const figure = shortNumber(voltagePercent);
  return [
    ...seen,
    explained
      ? { mark: 'volts-explain-amps', words: `voltage unbalance of ${figure} % explains it` }
      : { mark: 'volts-even', words: `the voltages are even (${figure} %)` },
  ];
}

function marksByStage({ time, stages }: CurrentUnbalance): readonly Seen[] {
  const { overStages, calmStages } = time;
  const another = (calmStages & ~overStages) !== 0;
  if (another) return ['even-at-another-stage'];
  return areSeveralLoads(stages, overStages) ? ['uneven-at-every-stage'] : ['volts-not-measured'];
}
