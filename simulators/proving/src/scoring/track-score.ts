import type { Priority } from '@lineside/anomaly';
import type { FaultTruth } from '@lineside/rooftop';
import { CLASS_RULES, classOf } from './fault-classes.ts';
import { DAY_MS, type ObservedUnit } from './observed-unit.ts';
import { type Proportion, proportionOf } from './proportion.ts';
import { type Quartiles, quartiles } from './quartiles.ts';
import { firstWarning, isInTime, LEAD_MS } from './warnings.ts';

/** Tracks to ground that opened fuses, and that a wetting showed a day before. */
export interface TrackScore {
  readonly urgentInTime: Proportion;
  /** First warning of any priority to failure, days; a track that nobody warned of counts 0. */
  readonly warningDays: Quartiles | null;
  /** The same over the time since the first observable evidence. */
  readonly warningShare: Quartiles | null;
  readonly urgentWarningDays: Quartiles | null;
  readonly urgentWarningShare: Quartiles | null;
  /** Warned of for ten days, or for two thirds of the time since the first evidence. */
  readonly longEnough: Proportion;
  /** First observable evidence to failure, days: what could be had at most. */
  readonly evidenceDays: Quartiles | null;
}

const RULES = CLASS_RULES['track-to-ground'];
const LONG_DAYS = 10;
const LONG_SHARE: number = 2 / 3;

interface TrackCase {
  readonly fault: FaultTruth;
  readonly unit: ObservedUnit;
  readonly failureMs: number;
  readonly evidenceDays: number;
}

/** How one track was warned of: any priority, in days before the failure; and urgent in time. */
export interface TrackWarning {
  readonly days: number;
  readonly urgentInTime: boolean;
}

/** The warning of each track that counts, in the order of the units. */
export function trackWarnings(units: readonly ObservedUnit[]): TrackWarning[] {
  return casesOf(units).map((one) => ({
    days: warningDays(one, 'routine'),
    urgentInTime: isUrgentInTime(one),
  }));
}

export function scoreTracks(units: readonly ObservedUnit[]): TrackScore {
  const cases = casesOf(units);
  const days = (priority: Priority): number[] => cases.map((one) => warningDays(one, priority));
  const shares = (priority: Priority): number[] =>
    cases.map((one) => shareOf(warningDays(one, priority), one));
  return {
    urgentInTime: proportionOf(cases, isUrgentInTime),
    warningDays: quartiles(days('routine')),
    warningShare: quartiles(shares('routine')),
    urgentWarningDays: quartiles(days('urgent')),
    urgentWarningShare: quartiles(shares('urgent')),
    longEnough: proportionOf(cases, (one) => {
      const warned = warningDays(one, 'routine');
      return warned >= LONG_DAYS || shareOf(warned, one) >= LONG_SHARE;
    }),
    evidenceDays: quartiles(cases.map(({ evidenceDays }) => evidenceDays)),
  };
}

function casesOf(units: readonly ObservedUnit[]): TrackCase[] {
  return units.flatMap((unit) => unit.truth.faults.flatMap((fault) => caseOf(fault, unit)));
}

function isUrgentInTime({ fault, unit }: TrackCase): boolean {
  return isInTime(firstWarning(fault, RULES, unit, 'urgent'), fault, RULES, 'urgent');
}

function caseOf(fault: FaultTruth, unit: ObservedUnit): TrackCase[] {
  const { failureMs, fusesOpened, observableMs, observableWettingsMs } = fault;
  if (classOf(fault) !== 'track-to-ground' || fault.onsetMs > unit.endMs) return [];
  if (failureMs === null || fusesOpened.length === 0 || observableMs === null) return [];
  const latestMs = failureMs - LEAD_MS.urgent;
  if (!observableWettingsMs.some((wettingMs) => wettingMs <= latestMs)) return [];
  return [{ fault, unit, failureMs, evidenceDays: (failureMs - observableMs) / DAY_MS }];
}

function warningDays({ fault, unit, failureMs }: TrackCase, priority: Priority): number {
  const warning = firstWarning(fault, RULES, unit, priority);
  return warning === null ? 0 : (failureMs - warning.step.sinceMs) / DAY_MS;
}

/** Above 1 when the warning came before the evidence was beyond the sensors' noise. */
function shareOf(days: number, { evidenceDays }: TrackCase): number {
  return evidenceDays > 0 ? days / evidenceDays : 0;
}
