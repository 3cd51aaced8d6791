import type { ClassScore } from './class-score.ts';
import type { FaultClass } from './fault-classes.ts';
import { type Proportion, proportion } from './proportion.ts';

/** Whether line or load side was said, and rightly, of all leakage that was warned of. */
export interface SideScore {
  /** Among the cases where a side was said. */
  readonly right: Proportion;
  /** Among the cases warned of. */
  readonly committed: Proportion;
}

/** Faults that leak to ground; what leaks between poles is told apart by other currents. */
const LEAKING: readonly FaultClass[] = ['track-to-ground', 'load-insulation', 'vermin'];

export function scoreSides(classes: Readonly<Record<FaultClass, ClassScore>>): SideScore {
  const places = LEAKING.map((name) => classes[name].place);
  const sum = (of: (place: ClassScore['place']) => number): number =>
    places.reduce((total, place) => total + of(place), 0);
  const right = sum((place) => place.right.hits);
  const committed = right + sum((place) => place.wrong.hits);
  return {
    right: proportion(right, committed),
    committed: proportion(
      committed,
      sum((place) => place.right.of),
    ),
  };
}
