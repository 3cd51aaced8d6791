import { compareText, type ReviewSite } from './place.ts';

/**
 * Sites within this distance of a region's first site see the same storm. A judgement between the
 * width of a shower and that of a front, no source.
 */
const REGION_RADIUS_KILOMETRES = 50;

/** Mean radius of the Earth (IUGG), km. */
const EARTH_RADIUS_KILOMETRES = 6_371;
const RADIANS = Math.PI / 180;

/** Sites that one storm can reach. */
export interface Region {
  /** The site id that sorts first among them. */
  readonly id: string;
  readonly sites: readonly ReviewSite[];
}

/**
 * Sites grouped into regions. In the order of their ids, each site joins the first region whose
 * first site is within `REGION_RADIUS_KILOMETRES`, or starts its own: a chain of sites along a road
 * does not become one region. Sites without coordinates are one region together, so that their
 * storms are told by overlap in time alone.
 */
export function regionsOf(sites: readonly ReviewSite[]): readonly Region[] {
  const placed: { readonly first: ReviewSite; readonly sites: ReviewSite[] }[] = [];
  const unplaced: ReviewSite[] = [];
  for (const site of sites.toSorted((one, other) => compareText(one.id, other.id))) {
    if (site.latitudeDegrees === null || site.longitudeDegrees === null) {
      unplaced.push(site);
      continue;
    }
    const near = placed.find(
      ({ first }) => kilometresBetween(first, site) <= REGION_RADIUS_KILOMETRES,
    );
    if (near === undefined) placed.push({ first: site, sites: [site] });
    else near.sites.push(site);
  }
  const [firstUnplaced] = unplaced;
  if (firstUnplaced !== undefined) placed.push({ first: firstUnplaced, sites: unplaced });
  return placed.map(({ first, sites: members }) => ({ id: first.id, sites: members }));
}

/** Great-circle distance, km (haversine formula); infinite where a coordinate is missing. */
function kilometresBetween(one: ReviewSite, other: ReviewSite): number {
  const { latitudeDegrees: lat1, longitudeDegrees: lon1 } = one;
  const { latitudeDegrees: lat2, longitudeDegrees: lon2 } = other;
  if (lat1 === null || lon1 === null || lat2 === null || lon2 === null) return Infinity;
  const half =
    Math.sin(((lat2 - lat1) * RADIANS) / 2) ** 2 +
    Math.cos(lat1 * RADIANS) *
      Math.cos(lat2 * RADIANS) *
      Math.sin(((lon2 - lon1) * RADIANS) / 2) ** 2;
  return 2 * EARTH_RADIUS_KILOMETRES * Math.asin(Math.min(1, Math.sqrt(half)));
}
