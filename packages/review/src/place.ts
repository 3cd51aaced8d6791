/** What a review needs to know of a site. */
export interface ReviewSite {
  readonly id: string;
  readonly name: string;
  readonly latitudeDegrees: number | null;
  readonly longitudeDegrees: number | null;
}

/** `site` + `unit`. */
export interface UnitPlace {
  readonly site: string;
  readonly unit: string;
}

/** One key for a unit, for maps. */
export function placeKey({ site, unit }: UnitPlace): string {
  return `${site}/${unit}`;
}

/** Orders by site, then unit. */
export function comparePlaces(one: UnitPlace, other: UnitPlace): number {
  return compareText(one.site, other.site) || compareText(one.unit, other.unit);
}

/** Orders text by code units, the same on every machine. */
export function compareText(one: string, other: string): number {
  if (one === other) return 0;
  return one < other ? -1 : 1;
}

/** What belongs to each unit, in the order given, by `placeKey`. */
export function byPlace<T extends UnitPlace>(
  list: readonly T[],
): ReadonlyMap<string, readonly T[]> {
  const units = new Map<string, T[]>();
  for (const one of list) {
    const key = placeKey(one);
    const own = units.get(key);
    if (own === undefined) units.set(key, [one]);
    else own.push(one);
  }
  return units;
}
