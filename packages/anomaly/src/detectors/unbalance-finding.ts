import { unbalancePercent } from '@lineside/physics';
import { diagnose, marksText, type Seen } from '../diagnosis/diagnose.ts';
import type { FindingChange, Priority } from '../vocabulary.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import type { DetectorParameters } from './parameters.ts';
import { lowestPhase, type Sample } from './sample.ts';
import type { UnbalanceSlice } from './unbalance.ts';
import { type CurrentJudgement, type CurrentUnbalance, limitPercent } from './unbalance-current.ts';
import { areSeveralLoads, type Excess } from './unbalance-stages.ts';
import type { VoltageUnbalance } from './unbalance-voltage.ts';

/**
 * Words, numbers and marks of an unbalance finding.
 *
 * Current unbalance is commonly six to ten times the voltage unbalance at full load, and more at
 * part load: the current that uneven voltages drive does not shrink with the load. So what the
 * voltage explains is not laid at a contactor's door. Without voltages the stages tell: what comes
 * from the supply is on every load, a worn pole on its own. A terminal that works loose is on every
 * load as well; but contacts wear over days, so that they are told at the limit, and a supply that
 * loses a capacitor or gets a neighbour's welder is told at its full size.
 */
const EXPLAINED_RATIO = 16;
/** Below this a voltmeter's error is all there is. */
const LEAST_VOLTAGE_PERCENT = 0.5;
/** Voltages this uneven shift currents by what a routine limit asks for. */
const EXPLAINING_PERCENT = 0.8;
/** Voltages that are older say nothing of these currents. */
const VOLTAGE_STALE_MS = 900_000;

/** How the currents became uneven; null: that does not show. */
export type UnbalanceCame = 'at-once' | 'by-and-by' | null;

/** What is told at less than the one share of the limit grew, from the other on it came at once. */
const GREW_SHARE = 1.2;
const AT_ONCE_SHARE = 1.4;
/** Voltages of a whole supply differ by less. */
const LEAST_EVEN_SHARE = 0.8;

/** To be asked when a finding is opened: later the excess says nothing of how it came. */
export function howItCame(
  judged: CurrentJudgement | null,
  parameters: DetectorParameters,
): UnbalanceCame {
  if (judged === null || judged.excess === null || !judged.learned) return null;
  const { percent } = judged.excess;
  const limit = limitPercent(parameters.limits.currentUnbalanceRoutinePercent, parameters);
  if (percent >= AT_ONCE_SHARE * limit) return 'at-once';
  return percent <= GREW_SHARE * limit ? 'by-and-by' : null;
}

/** True when fresh line voltages are uneven enough to shift the currents of every motor. */
export function voltageExplains({ atMs, percent }: VoltageUnbalance, nowMs: number): boolean {
  return atMs !== null && nowMs - atMs <= VOLTAGE_STALE_MS && (percent ?? 0) >= EXPLAINING_PERCENT;
}

export function unbalanceFinding(
  change: 'opened' | 'escalated',
  priority: Priority,
  by: 'current' | 'voltage',
  { current, voltage, came }: UnbalanceSlice,
  sample: Sample,
  judged: CurrentJudgement | null,
  parameters: DetectorParameters,
): FindingChange {
  const { atMs, currents } = sample;
  const voltageKnown = voltage.atMs !== null && atMs - voltage.atMs <= VOLTAGE_STALE_MS;
  const voltagePercent = voltageKnown ? voltage.percent : byGroundVolts(sample, parameters);
  const excess = judged?.excess ?? null;
  const learned = judged?.learned ?? false;
  const lowest = excess === null ? null : lowestOf(excess);
  const marks: readonly Seen[] =
    by === 'voltage'
      ? ['volts-unbalanced']
      : marksOf(current, excess?.percent ?? 0, voltagePercent, learned, came);
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

/**
 * Unbalance of the line voltages, %, as those to ground give it on a solidly grounded wye, whose
 * phases stand 120 degrees apart; null where they are not known.
 */
function byGroundVolts({ groundVolts }: Sample, { solidWye }: DetectorParameters): number | null {
  if (groundVolts === null || !solidWye) return null;
  const { a, b, c, smallest, largest } = groundVolts;
  if (smallest < LEAST_EVEN_SHARE * largest) return null;
  const between = (one: number, other: number): number =>
    Math.sqrt(one * one + other * other + one * other);
  return unbalancePercent(between(a, b), between(b, c), between(c, a));
}

function lowestOf({ a, b, c }: Excess): 'a' | 'b' | 'c' {
  return lowestPhase({ a, b, c, largest: Math.max(a, b, c), smallest: Math.min(a, b, c) });
}

function marksOf(
  current: CurrentUnbalance,
  excessPercent: number,
  voltagePercent: number | null,
  learned: boolean,
  came: UnbalanceCame,
): readonly Seen[] {
  const seen: Seen[] = learned ? [] : ['stage-not-learned'];
  if (came !== null) seen.push(came === 'at-once' ? 'uneven-at-once' : 'uneven-by-and-by');
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
