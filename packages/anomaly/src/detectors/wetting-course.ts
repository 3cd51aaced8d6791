import { type FieldGuards, hasShape, isNullOr, isNumber, isNumberOrNull } from '../field-guards.ts';
import type { WettingEpisode } from '../vocabulary.ts';
import type { OutdoorSlice } from './outdoor.ts';
import type { CompartmentAir } from './sample.ts';
import {
  newWetting,
  OPEN_WETTING_FIELDS,
  type OpenWetting,
  wettingEpisode,
  wettingSource,
} from './wetting-episode.ts';

/**
 * How wettings begin and end. One opens after ten minutes and two wet readings, dated back to the
 * first, or after an hour in which dirt may have been wet (`wet-criteria.ts`). It ends an hour after
 * the last such reading, dated back to it, so that short dry gaps stay within one wetting. Damp air
 * and a film are wettings of their own: a film that comes within two hours belongs to what began as
 * damp air, a later one ends that and begins another; damp air that is left an hour after the film
 * has gone is another one again, and lasts until dirt has dried, which takes hours. So is what frost
 * leaves when it thaws, however dry the air. Water that got in is one wetting until it has dried.
 */
export interface WettingCourse {
  readonly firstWetMs: number | null;
  /** Since when dirt may be wet without a wetting; null while it may not. */
  readonly dampSinceMs: number | null;
  readonly wetReadings: number;
  readonly lastWetMs: number | null;
  /** When there was last a liquid film. */
  readonly lastFilmMs: number | null;
  readonly open: OpenWetting | null;
}

export const WETTING_COURSE_START: WettingCourse = {
  firstWetMs: null,
  dampSinceMs: null,
  wetReadings: 0,
  lastWetMs: null,
  lastFilmMs: null,
  open: null,
};

export const WETTING_COURSE_FIELDS: FieldGuards<WettingCourse> = {
  firstWetMs: isNumberOrNull,
  dampSinceMs: isNumberOrNull,
  wetReadings: isNumber,
  lastWetMs: isNumberOrNull,
  lastFilmMs: isNumberOrNull,
  open: isNullOr(hasShape(OPEN_WETTING_FIELDS)),
};

/** What one instant says about wetness. */
export interface WettingMoment {
  readonly atMs: number;
  /** Time since the reading before if both are wet, else 0, ms. */
  readonly wetElapsedMs: number;
  /** Whether air or plate are wet now. */
  readonly wet: boolean;
  /** Whether dirt may be wet now, by the wider criterion. */
  readonly damp: boolean;
  /** As damp as dirt stays behind a film. */
  readonly dampBehindFilm: boolean;
  /** Whether a film lies on the plate, liquid or such frost as salt thaws. */
  readonly filmed: boolean;
  /** Whether rain, melt or an open door can have brought water in. */
  readonly waterIsAbout: boolean;
  readonly excessPascals: number | null;
  /** Excess beyond the usual against what is beyond doubt, 1 at its edge; null without a report. */
  readonly excessRatio: number | null;
  readonly air: CompartmentAir;
}

export interface CourseStep {
  readonly course: WettingCourse;
  readonly episodes: readonly WettingEpisode[];
}

const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
const WETTING_OPENS_AFTER_MS: number = 10 * MINUTE_MS;
const WET_READINGS_TO_OPEN = 2;
/** At the edge of what is wet, a shorter time is as likely the sensor's; no source. */
const DAMP_OPENS_AFTER_MS: number = HOUR_MS;
const WETTING_MERGES_GAPS_MS: number = HOUR_MS;
/** Air grows damp before a film shows: a film so soon after belongs to the same wetting. */
const FILM_FOLLOWS_MS: number = 2 * HOUR_MS;
/** Dirt gives off what a film gave it for two to four hours (common practice, no source). */
const DIRT_DRIES_MS: number = 3 * HOUR_MS;

/** `filmMs` counts liquid films alone. */
const LIQUID_SHARE = 0.5;

const NO_EPISODES: readonly WettingEpisode[] = [];

/** One instant. */
export function stepCourse(
  before: WettingCourse,
  moment: WettingMoment,
  outdoor: OutdoorSlice,
): CourseStep {
  const { atMs, wet, damp, filmed } = moment;
  const isDry = before.open === null && before.firstWetMs === null && before.dampSinceMs === null;
  if (!damp && isDry) return { course: before, episodes: NO_EPISODES };
  const goesOn = before.open !== null && (damp || dirtDries(before, atMs));
  const course: WettingCourse = {
    firstWetMs: before.open !== null || !wet ? null : (before.firstWetMs ?? atMs),
    dampSinceMs: before.open !== null || !damp ? null : (before.dampSinceMs ?? atMs),
    wetReadings: wet ? Math.min(before.wetReadings + 1, WET_READINGS_TO_OPEN) : 0,
    lastWetMs: wet || goesOn ? atMs : before.lastWetMs,
    lastFilmMs: filmed ? atMs : before.lastFilmMs,
    open: before.open,
  };
  return course.open === null
    ? maybeOpen(course, moment, outdoor)
    : goOn(course, course.open, moment, outdoor);
}

/** Damp air that is left after a film: dirt stays wet for hours after the air has dried. */
function dirtDries({ open, lastFilmMs }: WettingCourse, atMs: number): boolean {
  if (open === null || open.filmed || lastFilmMs === null) return false;
  return open.startMs <= lastFilmMs && atMs - lastFilmMs <= DIRT_DRIES_MS;
}

function maybeOpen(
  course: WettingCourse,
  moment: WettingMoment,
  outdoor: OutdoorSlice,
): CourseStep {
  const { atMs } = moment;
  const { firstWetMs, dampSinceMs, wetReadings } = course;
  const wetLongEnough =
    firstWetMs !== null &&
    wetReadings >= WET_READINGS_TO_OPEN &&
    atMs - firstWetMs >= WETTING_OPENS_AFTER_MS;
  const dampLongEnough = dampSinceMs !== null && atMs - dampSinceMs >= DAMP_OPENS_AFTER_MS;
  const startMs = dampLongEnough ? dampSinceMs : firstWetMs;
  if (startMs === null || !(wetLongEnough || dampLongEnough)) {
    return { course, episodes: NO_EPISODES };
  }
  const open = newWetting(startMs, moment, outdoor);
  return {
    course: { ...course, open, firstWetMs: null, dampSinceMs: null, lastWetMs: atMs },
    episodes: [wettingEpisode(open, null, outdoor)],
  };
}

function goOn(
  course: WettingCourse,
  open: OpenWetting,
  moment: WettingMoment,
  outdoor: OutdoorSlice,
): CourseStep {
  const { atMs, damp, dampBehindFilm, filmed } = moment;
  const { lastWetMs, lastFilmMs } = course;
  const oneWetting = wettingSource(open) === 'water-ingress';
  if (
    !oneWetting &&
    open.filmed &&
    lastFilmMs !== null &&
    atMs - lastFilmMs > WETTING_MERGES_GAPS_MS
  ) {
    const isWetBehind = dampBehindFilm || isLeftByFrost(open, lastFilmMs, moment.air);
    const rest = {
      ...course,
      open: null,
      firstWetMs: moment.wet ? lastFilmMs : null,
      dampSinceMs: isWetBehind ? lastFilmMs : null,
    };
    const ended = [wettingEpisode(open, lastFilmMs, outdoor)];
    return after(
      ended,
      isWetBehind ? maybeOpen(rest, moment, outdoor) : { course: rest, episodes: [] },
    );
  }
  if (!damp && lastWetMs !== null && atMs - lastWetMs > WETTING_MERGES_GAPS_MS) {
    return endCourse(course, outdoor);
  }
  if (!oneWetting && filmed && !open.filmed && atMs - open.startMs > FILM_FOLLOWS_MS) {
    const rest = { ...course, open: newWetting(atMs, moment, outdoor) };
    const ended = [wettingEpisode(open, atMs, outdoor)];
    return { course: rest, episodes: [...ended, wettingEpisode(rest.open, null, outdoor)] };
  }
  const grown = grow(open, moment);
  const due = atMs - grown.toldAtMs >= HOUR_MS;
  const told = due ? { ...grown, toldAtMs: atMs } : grown;
  return {
    course: { ...course, open: told },
    episodes: due ? [wettingEpisode(told, null, outdoor)] : NO_EPISODES,
  };
}

/** A film that was frozen for most of its time and has thawed: only now has it wetted dirt. */
function isLeftByFrost(open: OpenWetting, lastFilmMs: number, air: CompartmentAir): boolean {
  return air.surfaceCelsius > 0 && open.filmMs < LIQUID_SHARE * (lastFilmMs - open.startMs);
}

function after(first: readonly WettingEpisode[], step: CourseStep): CourseStep {
  return { course: step.course, episodes: [...first, ...step.episodes] };
}

function grow(open: OpenWetting, moment: WettingMoment): OpenWetting {
  const { atMs, air, wet, filmed, wetElapsedMs, excessPascals, excessRatio } = moment;
  const knownMs = excessRatio === null ? 0 : wetElapsedMs;
  const hours = knownMs / HOUR_MS;
  const deeper = wet && air.marginKelvin < open.lowestMarginKelvin;
  return {
    startMs: open.startMs,
    peakMs: deeper ? atMs : open.peakMs,
    lowestMarginKelvin: deeper ? air.marginKelvin : open.lowestMarginKelvin,
    highestHumidityPercent: Math.max(open.highestHumidityPercent, air.humidityPercent),
    greatestExcessPascals:
      excessPascals === null
        ? open.greatestExcessPascals
        : Math.max(open.greatestExcessPascals ?? excessPascals, excessPascals),
    filmed: open.filmed || filmed,
    wetMs: open.wetMs + (filmed || !open.filmed ? wetElapsedMs : 0),
    filmMs: open.filmMs + (filmed ? wetElapsedMs : 0),
    excessHours: rounded(open.excessHours + hours * (excessRatio ?? 0)),
    knownMs: open.knownMs + knownMs,
    waterMs: open.waterMs + (moment.waterIsAbout ? knownMs : 0),
    rainMillimetres: open.rainMillimetres,
    marginInferred: wet ? air.marginInferred : open.marginInferred,
    toldAtMs: open.toldAtMs,
  };
}

/** To digits that a sum over weeks can spare. */
function rounded(value: number): number {
  return Math.round(value * 1e5) / 1e5;
}

/** Ends what goes on, at the last wet reading. */
export function endCourse(course: WettingCourse, outdoor: OutdoorSlice): CourseStep {
  const { open, lastWetMs } = course;
  const dry: WettingCourse = {
    ...course,
    firstWetMs: null,
    dampSinceMs: null,
    wetReadings: 0,
    open: null,
  };
  if (open === null) return { course: dry, episodes: NO_EPISODES };
  return { course: dry, episodes: [wettingEpisode(open, lastWetMs ?? open.startMs, outdoor)] };
}
