import { PRIORITIES } from '@lineside/anomaly';
import type { Signal } from '../rivals/signals.ts';
import type { FaultClass } from '../scoring/fault-classes.ts';
import type { ObservedUnit } from '../scoring/observed-unit.ts';
import { scoreUnits } from '../scoring/score.ts';

/** What a point of the grid did on the tuning cohorts, by its own signal's alarms alone. */
export interface Merit {
  /** Mean of the recalls of routine and urgent, over the classes that the signal can tell of. */
  readonly recall: number;
  readonly falsePerUnitYear: number;
}

const CLASSES: Readonly<Record<Signal, readonly FaultClass[]>> = {
  leakage: ['track-to-ground', 'load-insulation', 'vermin'],
  moisture: ['water-ingress'],
  unbalance: ['unbalance-in-unit', 'unbalance-of-supply'],
};

/** A rival that cries no more often than this need not cry less, though we may. */
const FALSE_PER_UNIT_YEAR_LEAST = 0.5;

export function meritOf(signal: Signal, units: readonly ObservedUnit[]): Merit {
  const own = units.map((unit) => ({
    ...unit,
    alarms: unit.alarms.filter(({ kind }) => kind === signal),
  }));
  const score = scoreUnits(own);
  const shares = CLASSES[signal].flatMap((name) => {
    const { recallBeforeFailure, recallWhileThere } = score.classes[name];
    return PRIORITIES.filter((priority) => priority !== 'emergency').flatMap((priority) =>
      [recallBeforeFailure[priority], recallWhileThere[priority]]
        .filter(({ of }) => of > 0)
        .map(({ hits, of }) => hits / of),
    );
  });
  const recall = shares.reduce((sum, share) => sum + share, 0) / Math.max(1, shares.length);
  return { recall, falsePerUnitYear: score.falseAlarms.perUnitYear ?? 0 };
}

/**
 * The objective: the highest recall among the points that raise no more false alarms of this kind
 * than we do on the same units (or than half a one in a unit-year, when we raise fewer). When no
 * point is that quiet, the quietest. Ties go to the point with fewer false alarms, then to the
 * first of the grid.
 *
 * @throws RangeError for an empty grid.
 */
export function bestPoint<Point>(
  tried: readonly { readonly point: Point; readonly merit: Merit }[],
  oursFalsePerUnitYear: number,
): { readonly point: Point; readonly merit: Merit } {
  const allowed = Math.max(oursFalsePerUnitYear, FALSE_PER_UNIT_YEAR_LEAST);
  const quiet = tried.filter(({ merit }) => merit.falsePerUnitYear <= allowed);
  const ranked =
    quiet.length > 0
      ? quiet.toSorted(
          (one, other) =>
            other.merit.recall - one.merit.recall ||
            one.merit.falsePerUnitYear - other.merit.falsePerUnitYear,
        )
      : tried.toSorted(
          (one, other) =>
            one.merit.falsePerUnitYear - other.merit.falsePerUnitYear ||
            other.merit.recall - one.merit.recall,
        );
  const [best] = ranked;
  if (best === undefined) throw new RangeError('the grid is empty');
  return best;
}
