import type { Evidence, FindingChange, FindingKind } from '../vocabulary.ts';
import type { SensorCredibility } from './sensor.ts';

const BY_HUMIDITY: ReadonlySet<FindingKind> = new Set<FindingKind>(['moisture', 'leakage']);
const BY_LEAKAGE: ReadonlySet<FindingKind> = new Set<FindingKind>([
  'moisture',
  'leakage',
  'supply-loss',
]);
const BY_PHASES: ReadonlySet<FindingKind> = new Set<FindingKind>([
  'unbalance',
  'phase-loss',
  'phase-track',
  'supply-loss',
]);

/** Findings that rest on a channel which cannot be believed say so in their evidence. */
export function marked(
  changes: readonly FindingChange[],
  { humidity, leakage: leakageHolds, leakageInDoubt, currentsInDoubt }: SensorCredibility,
): readonly FindingChange[] {
  const leakage = leakageHolds && !leakageInDoubt;
  if (changes.length === 0 || (humidity && leakage && !currentsInDoubt)) return changes;
  return changes.map((change) => {
    if (change.change === 'closed') return change;
    const { kind } = change;
    const evidence: Evidence = {
      ...change.evidence,
      ...(!humidity && BY_HUMIDITY.has(kind) ? { humiditySensorSuspect: true } : {}),
      ...(!leakage && BY_LEAKAGE.has(kind) ? { leakageSensorSuspect: true } : {}),
      ...(currentsInDoubt && BY_PHASES.has(kind) ? { currentSensorSuspect: true } : {}),
    };
    return { ...change, evidence };
  });
}
