import type { Alarm } from '@lineside/alarms';
import type { Cause } from '@lineside/anomaly';
import type { ServiceLine } from './unit-review.ts';

/** Fuses that a unit lost in a storm. */
export interface FusesLost {
  /** As service records say; null: records say that some were, not how many. */
  readonly replaced: number | null;
  /** Phases that records name, in order. */
  readonly phases: readonly string[];
  /** True when an alarm names open fuses as the most probable cause. */
  readonly suspected: boolean;
}

const OPEN: ReadonlySet<Cause> = new Set(['open-fuse', 'disconnect-open-or-fuses-open']);

/** Fuses lost, from the unit's service records and alarms of the storm. */
export function fusesLost(service: readonly ServiceLine[], alarms: readonly Alarm[]): FusesLost {
  const replacements = service.filter(({ action }) => action === 'fuses-replaced');
  const named = replacements.map(({ phases }) => phases ?? []);
  const unnamed = named.some((phases) => phases.length === 0);
  return {
    replaced: unnamed ? null : named.reduce((sum, phases) => sum + phases.length, 0),
    phases: [...new Set(named.flat())].sort(),
    suspected: alarms.some(({ causes }) => causes[0] !== undefined && OPEN.has(causes[0].cause)),
  };
}

/** How many fuses were lost at least, for the order of harm. */
export function fusesLostAtLeast({ replaced, suspected }: FusesLost): number {
  if (replaced === null) return 1;
  return Math.max(replaced, suspected ? 1 : 0);
}

/** `3 (a, b, c)`, `suspected`, `some`; null when none. */
export function fusesInWords({ replaced, phases, suspected }: FusesLost): string | null {
  if (replaced === null) return 'replaced, number not recorded';
  if (replaced > 0) return `${replaced} replaced (${phases.join(', ')})`;
  return suspected ? 'suspected' : null;
}
