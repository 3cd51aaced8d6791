import { compareText, type UnitPlace } from './place.ts';
import type { UnitReview } from './unit-review.ts';

/** One thing to bring and the units that ask for it. */
export interface BagLine {
  readonly thing: string;
  readonly units: readonly UnitPlace[];
}

/** What to load for all visits that a storm asks for, what most units ask for first. */
export function bagFor(units: readonly UnitReview[]): readonly BagLine[] {
  const things = new Map<string, UnitPlace[]>();
  for (const { site, unit, visit } of units) {
    for (const thing of new Set(visit.bring)) {
      const asking = things.get(thing);
      if (asking === undefined) things.set(thing, [{ site, unit }]);
      else asking.push({ site, unit });
    }
  }
  return [...things]
    .map(([thing, asking]) => ({ thing, units: asking }))
    .sort(
      (one, other) => other.units.length - one.units.length || compareText(one.thing, other.thing),
    );
}
