import type { CauseEstimate, FindingChange, Priority } from '../vocabulary.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import { lowestPhase, type Sample } from './sample.ts';
import type { UnbalanceSlice } from './unbalance.ts';
import type { CurrentJudgement, CurrentUnbalance } from './unbalance-current.ts';
import type { Excess } from './unbalance-stages.ts';
import type { VoltageUnbalance } from './unbalance-voltage.ts';

/**
 * Words, numbers and causes of an unbalance finding; the probabilities are judgement.
 *
 * Current unbalance is commonly six to ten times the voltage unbalance at full load, so what the
 * voltage explains is not laid at a contactor's door. Without voltages the stages tell: what comes
 * from the supply is on every load, a worn pole on its own.
 */
const EXPLAINED_RATIO = 10;
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
    },
    causes:
      by === 'voltage'
        ? voltageCauses()
        : currentCauses(current, excess?.percent ?? 0, voltagePercent, learned),
  };
}

function lowestOf({ a, b, c }: Excess): 'a' | 'b' | 'c' {
  return lowestPhase({ a, b, c, largest: Math.max(a, b, c), smallest: Math.min(a, b, c) });
}

function voltageCauses(): readonly CauseEstimate[] {
  return [
    {
      cause: 'supply-voltage',
      probability: 0.85,
      because: ['the line voltages themselves are unbalanced'],
    },
    {
      cause: 'worn-pole-or-connection',
      probability: 0.1,
      because: ['a bad connection ahead of the voltage taps looks the same'],
    },
    { cause: 'unknown', probability: 0.05, because: [] },
  ];
}

const NOT_LEARNED = 'what this running stage normally has is not learned yet';

function currentCauses(
  current: CurrentUnbalance,
  excessPercent: number,
  voltagePercent: number | null,
  learned: boolean,
): readonly CauseEstimate[] {
  const unsure = learned ? [] : [NOT_LEARNED];
  if (voltagePercent === null) return causesByStage(current, unsure);
  const explained =
    voltagePercent >= LEAST_VOLTAGE_PERCENT && excessPercent <= EXPLAINED_RATIO * voltagePercent;
  if (explained) {
    return ranked('supply-voltage', 0.8, 'worn-pole-or-connection', 0.12, unsure, [
      `voltage unbalance of ${shortNumber(voltagePercent)} % explains it`,
    ]);
  }
  return ranked('worn-pole-or-connection', learned ? 0.8 : 0.6, 'supply-voltage', 0.05, unsure, [
    `the voltages are even (${shortNumber(voltagePercent)} %)`,
  ]);
}

function causesByStage(
  { overStages, calmStages }: CurrentUnbalance,
  unsure: readonly string[],
): readonly CauseEstimate[] {
  const everyLoad = severalStages(overStages) && (calmStages & ~overStages) === 0;
  if (everyLoad) {
    return ranked('supply-voltage', 0.7, 'worn-pole-or-connection', 0.2, unsure, [
      'every load shows it, in the same way',
    ]);
  }
  if ((calmStages & ~overStages) !== 0) {
    return ranked('worn-pole-or-connection', 0.8, 'supply-voltage', 0.08, unsure, [
      'another stage of load runs evenly',
    ]);
  }
  return ranked('worn-pole-or-connection', 0.45, 'supply-voltage', 0.25, unsure, [
    'one stage of load was seen so far',
    'the line voltages are not measured here',
  ]);
}

/** Neighbouring stages may be one load in two weathers. */
function severalStages(stages: number): boolean {
  return (stages & (stages - 1) & ~(stages << 1)) !== 0;
}

function ranked(
  first: 'supply-voltage' | 'worn-pole-or-connection',
  probability: number,
  second: 'supply-voltage' | 'worn-pole-or-connection',
  less: number,
  unsure: readonly string[],
  because: readonly string[],
): readonly CauseEstimate[] {
  const rest = Math.round((1 - probability - less) * 100) / 100;
  const causes: readonly CauseEstimate[] = [
    { cause: first, probability, because },
    { cause: second, probability: less, because: [] },
    { cause: 'unknown', probability: rest, because: unsure },
  ];
  return causes.toSorted((one, other) => other.probability - one.probability);
}
