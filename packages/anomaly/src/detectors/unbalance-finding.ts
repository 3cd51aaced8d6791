import type { CauseEstimate, FindingChange, Priority } from '../vocabulary.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import { lowestPhase, type Sample } from './sample.ts';
import type { UnbalanceSlice } from './unbalance.ts';

/**
 * Words, numbers and causes of an unbalance finding.
 *
 * Current unbalance is commonly six to ten times the voltage unbalance at full load, so what the
 * voltage explains is not laid at a contactor's door. A worn pole alone shifts currents by 1 to
 * 2 % until late.
 */
const EXPLAINED_RATIO = 10;
/** Below this a voltmeter's error is all there is. */
const LEAST_VOLTAGE_PERCENT = 0.5;
/** Voltages that are older say nothing of these currents. */
const VOLTAGE_STALE_MS = 900_000;

export function unbalanceFinding(
  change: 'opened' | 'escalated',
  priority: Priority,
  by: 'current' | 'voltage',
  slice: UnbalanceSlice,
  sample: Sample,
): FindingChange {
  const { atMs, currents } = sample;
  const voltageKnown = slice.voltageAtMs !== null && atMs - slice.voltageAtMs <= VOLTAGE_STALE_MS;
  const voltagePercent = voltageKnown ? slice.voltagePercent : null;
  const low = currents === null ? '' : `, phase ${lowestPhase(currents).toUpperCase()} lowest`;
  return {
    change,
    kind: 'unbalance',
    priority,
    atMs,
    headline:
      by === 'voltage'
        ? `Supply voltage unbalance ${shortNumber(slice.voltagePercent ?? 0)} %`
        : `Current unbalance ${shortNumber(slice.currentPercent ?? 0)} % while running${low}`,
    evidence: {
      currentUnbalancePercent: evidenceNumber(slice.currentPercent),
      voltageUnbalancePercent: evidenceNumber(voltagePercent),
      phaseAAmps: evidenceNumber(currents?.a ?? null),
      phaseBAmps: evidenceNumber(currents?.b ?? null),
      phaseCAmps: evidenceNumber(currents?.c ?? null),
      normalForThisStageLearned: false,
    },
    causes:
      by === 'voltage' ? voltageCauses() : currentCauses(slice.currentPercent ?? 0, voltagePercent),
  };
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
  currentPercent: number,
  voltagePercent: number | null,
): readonly CauseEstimate[] {
  if (voltagePercent === null) {
    return [
      {
        cause: 'worn-pole-or-connection',
        probability: 0.4,
        because: ['one phase carries less than the others'],
      },
      { cause: 'unknown', probability: 0.35, because: [NOT_LEARNED] },
      {
        cause: 'supply-voltage',
        probability: 0.25,
        because: ['the line voltages are not measured here'],
      },
    ];
  }
  const explained =
    voltagePercent >= LEAST_VOLTAGE_PERCENT && currentPercent <= EXPLAINED_RATIO * voltagePercent;
  if (explained) {
    return [
      {
        cause: 'supply-voltage',
        probability: 0.75,
        because: [`voltage unbalance of ${shortNumber(voltagePercent)} % explains it`],
      },
      { cause: 'worn-pole-or-connection', probability: 0.15, because: [] },
      { cause: 'unknown', probability: 0.1, because: [NOT_LEARNED] },
    ];
  }
  return [
    {
      cause: 'worn-pole-or-connection',
      probability: 0.6,
      because: [`the voltages are even (${shortNumber(voltagePercent)} %)`],
    },
    { cause: 'unknown', probability: 0.35, because: [NOT_LEARNED] },
    { cause: 'supply-voltage', probability: 0.05, because: [] },
  ];
}
