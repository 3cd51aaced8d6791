import type { Alarm } from '@lineside/alarms';
import type { FindingKind } from '@lineside/anomaly';
import type { FaultTruth } from '@lineside/rooftop';
import { classOf } from './fault-classes.ts';
import { DAY_MS, MINUTE_MS, type ObservedUnit } from './observed-unit.ts';
import { type Proportion, proportion } from './proportion.ts';
import { type Quartiles, quartiles } from './quartiles.ts';

/** How fast a lost phase, or fuses that opened, were told of. */
export interface LossScore {
  /** Told of within a day, and before the fault ended. */
  readonly found: Proportion;
  readonly delayMinutes: Quartiles | null;
}

/** Whoever is told later has found out by himself: the building is cold. */
export const LOSS_WITHIN_MS: number = DAY_MS;

/** A node on the unit's supply falls silent when a phase of the control transformer goes. */
const LOSS_KINDS: readonly FindingKind[] = ['phase-loss', 'supply-loss', 'silent'];

/** Faults of the class `phase-loss`, from their failure, else their evidence, on. */
export function scorePhaseLoss(units: readonly ObservedUnit[]): LossScore {
  const isLoss = (fault: FaultTruth): boolean => classOf(fault) === 'phase-loss';
  return scoreLoss(units, isLoss, (fault) => fault.failureMs ?? fault.observableMs);
}

/** Faults of any other class that opened fuses, from that moment on. */
export function scoreFusesGone(units: readonly ObservedUnit[]): LossScore {
  const opened = (fault: FaultTruth): boolean =>
    fault.fusesOpened.length > 0 && classOf(fault) !== 'phase-loss';
  return scoreLoss(units, opened, (fault) => fault.failureMs);
}

function scoreLoss(
  units: readonly ObservedUnit[],
  counts: (fault: FaultTruth) => boolean,
  lostAtMs: (fault: FaultTruth) => number | null,
): LossScore {
  const delays: number[] = [];
  let cases = 0;
  for (const { truth, alarms, endMs } of units) {
    for (const fault of truth.faults.filter(counts)) {
      const lostMs = lostAtMs(fault);
      if (lostMs === null) continue;
      cases += 1;
      const untilMs = Math.min(lostMs + LOSS_WITHIN_MS, fault.endedMs ?? endMs);
      const told = toldOfLossMs(alarms, lostMs, untilMs);
      if (told !== null) delays.push((told - lostMs) / MINUTE_MS);
    }
  }
  return { found: proportion(delays.length, cases), delayMinutes: quartiles(delays) };
}

/** First step of an alarm of a loss within these moments; null: none. */
export function toldOfLossMs(
  alarms: readonly Alarm[],
  fromMs: number,
  untilMs: number,
): number | null {
  const steps = alarms
    .filter(({ kind }) => LOSS_KINDS.includes(kind))
    .flatMap(({ priorities }) => priorities.map(({ sinceMs }) => sinceMs))
    .filter((sinceMs) => sinceMs >= fromMs && sinceMs <= untilMs);
  return steps.length === 0 ? null : Math.min(...steps);
}
