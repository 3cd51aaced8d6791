import { placeKey, type UnitPlace } from './place.ts';
import type { UnitReview } from './unit-review.ts';

/** One thing to bring and the units that ask for it. */
export interface BagLine {
  readonly thing: string;
  readonly units: readonly UnitPlace[];
}

/** What to load for all visits that a storm asks for, what most units ask for first. */
export function bagFor(units: readonly UnitReview[]): readonly BagLine[] {
  const things = new Map<string, { readonly place: UnitPlace; readonly turn: number }[]>();
  for (const [turn, { site, unit, visit }] of units.entries()) {
    for (const thing of visit.bring) {
      const asking = things.get(thing) ?? [];
      if (!asking.some(({ place }) => placeKey(place) === placeKey({ site, unit }))) {
        asking.push({ place: { site, unit }, turn });
      }
      things.set(thing, asking);
    }
  }
  return [...things]
    .map(([thing, asking]) => ({ thing, units: asking.map(({ place }) => place) }))
    .sort(
      (one, other) => other.units.length - one.units.length || (one.thing < other.thing ? -1 : 1),
    );
}
