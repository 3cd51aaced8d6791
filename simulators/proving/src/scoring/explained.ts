import type { Alarm } from '@lineside/alarms';
import type { FindingKind } from '@lineside/anomaly';
import type { UnitRunTruth } from '@lineside/rooftop';
import { CLASS_RULES, classOf, FUSES_OPEN_DO } from './fault-classes.ts';
import { DAY_MS, HOUR_MS } from './observed-unit.ts';

/**
 * After a repair an alarm of what was repaired is not false for so long: the compartment has to
 * dry, and what is learned of the unit has to follow. Common practice, no source.
 */
export const GRACE_AFTER_REPAIR_MS: number = 48 * HOUR_MS;
/** Somebody at the unit opens its disconnect, and may close it again within this time. */
export const VISIT_MS: number = 4 * HOUR_MS;
/** Fuse replacements within this time belong together (the usual limits of the trade). */
const FUSE_MEMORY_MS: number = 90 * DAY_MS;
/** A wetting is in the air before its film is on the plate, and an alarm may wait for hours. */
export const WETTING_SLACK_MS: number = 6 * HOUR_MS;

/** What is looked at of an alarm. */
export type Raised = Pick<Alarm, 'kind' | 'raisedAtMs' | 'priorities'>;

/** No warning is owed of these, and one that names a sensor is right. */
const SENSOR_TRULY_OFF: readonly string[] = [
  'humidity-sticks',
  'transformers-swapped',
  'transformer-reversed',
  'clock-error',
];

/** Look-alikes that truly are what these alarms say; all others excuse nothing. */
export const TRUE_OF_LOOK_ALIKE: Readonly<Record<string, readonly FindingKind[]>> = {
  'utility-outage': ['supply-loss', 'silent', 'phase-loss'],
  'gateway-loss': ['silent'],
  // The disconnect is open: a node on the unit's own supply is as silent as it says.
  'coil-washing': ['silent'],
};

/**
 * Whether something in the truth explains that the alarm was raised. What is not explained is a
 * false alarm, whatever its later steps. Explained is, by the moment of the first raise:
 *
 * 1. an alarm of a kind (or with a first cause) that a fault's class explains, from the fault's
 *    onset until its end and the grace after it; and from its failure on, when it opened fuses,
 *    all that open fuses do;
 * 2. `moisture` from the start of a wetting by water that got in until six hours after its end;
 * 3. `supply-loss`, `silent` and `phase-loss` within four hours of a visit: the unit was off;
 * 4. `repeat-fuse` within ninety days after a visit that swapped fuses;
 * 5. an alarm that says what a look-alike truly is (a dead unit in an outage of the utility).
 */
export function isExplained(alarm: Raised, truth: UnitRunTruth): boolean {
  return (
    byFault(alarm, truth) ||
    byIngress(alarm, truth) ||
    byVisit(alarm, truth) ||
    byLookAlike(alarm, truth)
  );
}

function byFault({ kind, raisedAtMs, priorities }: Raised, { faults }: UnitRunTruth): boolean {
  const named = priorities[0]?.causes[0]?.cause;
  return faults.some((fault) => {
    const lastMs = fault.endedMs === null ? Infinity : fault.endedMs + GRACE_AFTER_REPAIR_MS;
    const isThere = raisedAtMs >= fault.onsetMs && raisedAtMs <= lastMs;
    const { explains, warnsByCause } = CLASS_RULES[classOf(fault)];
    const blown =
      fault.fusesOpened.length > 0 && fault.failureMs !== null && raisedAtMs >= fault.failureMs;
    const fits =
      explains.includes(kind) ||
      (kind === 'sensor' && SENSOR_TRULY_OFF.includes(fault.fault)) ||
      (blown && FUSES_OPEN_DO.includes(kind)) ||
      (named !== undefined && warnsByCause.includes(named));
    return isThere && fits;
  });
}

function byIngress({ kind, raisedAtMs }: Raised, truth: UnitRunTruth): boolean {
  if (kind !== 'moisture') return false;
  // Whoever washes the coils brings water in, and that is no leak.
  const washings = truth.lookAlikes.filter(({ lookAlike }) => lookAlike === 'coil-washing');
  const washed = ({ startMs }: { readonly startMs: number }): boolean =>
    washings.some(({ fromMs, toMs }) => startMs >= fromMs && startMs <= toMs);
  return truth.wettings.some(
    ({ source, startMs, endMs }) =>
      !washed({ startMs }) &&
      source === 'water-ingress' &&
      raisedAtMs >= startMs &&
      raisedAtMs <= endMs + WETTING_SLACK_MS,
  );
}

function byVisit({ kind, raisedAtMs }: Raised, { visits }: UnitRunTruth): boolean {
  if (kind === 'repeat-fuse') {
    return visits.some(
      ({ atMs, actions }) =>
        actions.includes('fuses-replaced') &&
        raisedAtMs >= atMs &&
        raisedAtMs <= atMs + FUSE_MEMORY_MS,
    );
  }
  if (kind !== 'supply-loss' && kind !== 'silent' && kind !== 'phase-loss') return false;
  return visits.some(({ atMs }) => Math.abs(raisedAtMs - atMs) <= VISIT_MS);
}

function byLookAlike({ kind, raisedAtMs }: Raised, { lookAlikes }: UnitRunTruth): boolean {
  return lookAlikes.some(
    ({ lookAlike, fromMs, toMs }) =>
      raisedAtMs >= fromMs &&
      raisedAtMs <= toMs &&
      (TRUE_OF_LOOK_ALIKE[lookAlike]?.includes(kind) ?? false),
  );
}
