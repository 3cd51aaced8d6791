import type { FaultTruth } from '@lineside/rooftop';
import { classOf } from './fault-classes.ts';
import { LOSS_WITHIN_MS, toldOfLossMs } from './loss-score.ts';
import { MINUTE_MS, type ObservedUnit } from './observed-unit.ts';
import { type Proportion, proportion } from './proportion.ts';
import { type Quartiles, quartiles } from './quartiles.ts';

/** Losses from the first sample on that could tell of them; the others are counted apart. */
export interface TellableLossScore {
  readonly found: Proportion;
  /** Told within the delay that the trade asks for. */
  readonly inTime: Proportion;
  readonly delayMinutes: Quartiles | null;
  /** Nothing that the node sent could tell: idle hides it, or the node fell silent with it. */
  readonly untellable: number;
}

/** Readings after the first that shows the lost phase. */
const PHASE_READINGS = 2;
const FUSES_MS: number = 10 * MINUTE_MS;

/** A phase that is lost while a load runs: in time is within two readings. */
export function scoreTellablePhaseLoss(units: readonly ObservedUnit[]): TellableLossScore {
  return score(
    units,
    (fault) => classOf(fault) === 'phase-loss',
    ({ everyMs }) => PHASE_READINGS * everyMs,
  );
}

/** Fuses opened by anything else: in time is within ten minutes. */
export function scoreTellableFuses(units: readonly ObservedUnit[]): TellableLossScore {
  return score(
    units,
    (fault) => fault.fusesOpened.length > 0 && classOf(fault) !== 'phase-loss',
    () => FUSES_MS,
  );
}

function score(
  units: readonly ObservedUnit[],
  counts: (fault: FaultTruth) => boolean,
  inTimeMs: (unit: ObservedUnit) => number,
): TellableLossScore {
  const delays: number[] = [];
  let cases = 0;
  let inTime = 0;
  let untellable = 0;
  for (const unit of units) {
    for (const fault of unit.truth.faults.filter(counts)) {
      const { failureMs, tellableMs, endedMs } = fault;
      if (failureMs === null || tellableMs === undefined) continue;
      if (tellableMs === null) {
        untellable += 1;
        continue;
      }
      cases += 1;
      const untilMs = Math.min(tellableMs + LOSS_WITHIN_MS, endedMs ?? unit.endMs);
      const toldMs = toldOfLossMs(unit.alarms, failureMs, untilMs);
      if (toldMs === null) continue;
      // Who tells before it can be seen by current alone, by a surge for example, is not late.
      const delayMs = Math.max(0, toldMs - tellableMs);
      delays.push(delayMs / MINUTE_MS);
      if (delayMs <= inTimeMs(unit)) inTime += 1;
    }
  }
  return {
    found: proportion(delays.length, cases),
    inTime: proportion(inTime, cases),
    delayMinutes: quartiles(delays),
    untellable,
  };
}
