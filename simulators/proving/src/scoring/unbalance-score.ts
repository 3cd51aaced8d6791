import type { FaultTruth } from '@lineside/rooftop';
import { classOf, type FaultClass } from './fault-classes.ts';
import { DAY_MS, MINUTE_MS, type ObservedUnit } from './observed-unit.ts';
import { type Proportion, proportion } from './proportion.ts';
import { type Quartiles, quartiles } from './quartiles.ts';
import { isAtLeast } from './warnings.ts';

/** How an unbalance of the phase currents above the running stage's was told of. */
export interface UnbalanceScore {
  /** Units where 10 % above the stage held for 15 minutes of running: told as urgent. */
  readonly foundUrgent: Proportion;
  /** The same units: told at any priority. */
  readonly found: Proportion;
  /** From the moment at which it had held, min; below 0: told before. */
  readonly delayMinutes: Quartiles | null;
  /** Units that stayed below 4 %, with no lost phase and no faulty sensor: with such an alarm. */
  readonly raisedBelow: Proportion;
}

/** A share below which nobody may be called. */
const BELOW_PERCENT = 4;
const WITHIN_MS: number = DAY_MS;

export function scoreUnbalance(units: readonly ObservedUnit[]): UnbalanceScore {
  const delays: number[] = [];
  let cases = 0;
  let found = 0;
  let below = 0;
  let raised = 0;
  for (const unit of units) {
    const { unbalance } = unit.truth;
    if (unbalance === undefined) continue;
    if (unbalance.urgentMs !== null) {
      cases += 1;
      if (toldMs(unit, unbalance.urgentMs, 'routine') !== null) found += 1;
      const urgentMs = toldMs(unit, unbalance.urgentMs, 'urgent');
      if (urgentMs !== null) delays.push((urgentMs - unbalance.urgentMs) / MINUTE_MS);
    }
    if (unbalance.heldMostPercent >= BELOW_PERCENT || isOtherwiseUneven(unit)) continue;
    below += 1;
    if (unit.alarms.some(({ kind }) => kind === 'unbalance')) raised += 1;
  }
  return {
    foundUrgent: proportion(delays.length, cases),
    found: proportion(found, cases),
    delayMinutes: quartiles(delays),
    raisedBelow: proportion(raised, below),
  };
}

/** First step at that priority since the fault began, until a day after it had held. */
function toldMs(unit: ObservedUnit, heldMs: number, least: 'routine' | 'urgent'): number | null {
  const onsetMs = Math.min(...unit.truth.faults.filter(isUnbalance).map((one) => one.onsetMs));
  const steps = unit.alarms
    .filter(({ kind }) => kind === 'unbalance')
    .flatMap(({ priorities }) => priorities)
    .filter(({ priority, sinceMs }) => {
      return isAtLeast(priority, least) && sinceMs >= onsetMs && sinceMs <= heldMs + WITHIN_MS;
    });
  return steps.length === 0 ? null : Math.min(...steps.map(({ sinceMs }) => sinceMs));
}

function isUnbalance(fault: FaultTruth): boolean {
  const name = classOf(fault);
  return name === 'unbalance-in-unit' || name === 'unbalance-of-supply';
}

/** Phases without a fuse are uneven by right, and so are readings of a faulty transformer. */
function isOtherwiseUneven({ truth }: ObservedUnit): boolean {
  const others: readonly FaultClass[] = ['phase-loss', 'sensor-fault'];
  return truth.faults.some((fault) => {
    return fault.fusesOpened.length > 0 || others.includes(classOf(fault));
  });
}
