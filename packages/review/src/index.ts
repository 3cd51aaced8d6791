export type { BagLine } from './bag.ts';
export {
  findStorms,
  SEARCH_MARGIN_MS,
  type StormSearch,
  type WeatherSpan,
  weatherToAsk,
} from './find-storms.ts';
export { HABIT_BEFORE_MS, type UnitEpisode } from './marks.ts';
export type { ReviewSite, UnitPlace } from './place.ts';
export { regionsOf } from './regions.ts';
export type { Storm } from './storm.ts';
export { stormCsv } from './storm-csv.ts';
export { parseStormId, type StormAnchor, stormId, stormOfAnchor } from './storm-id.ts';
export { type ReviewInputs, type StormReview, stormReview } from './storm-review.ts';
export { TIMELINE_KINDS, type TimelineKind, type TimelineLine } from './timeline.ts';
export type {
  AlarmLine,
  ReviewUnit,
  ServiceLine,
  UnitLeakage,
  UnitReview,
  WettingLine,
} from './unit-review.ts';
export { VISIT_TURNS, type VisitTurn } from './visit.ts';
export type { SiteWeather, WeatherHour, WeatherQuarter, WeatherSummary } from './weather.ts';
