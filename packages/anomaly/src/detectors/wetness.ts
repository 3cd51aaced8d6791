import { isTimeOfWetness } from '@lineside/physics';
import {
  type FieldGuards,
  hasShape,
  isBoolean,
  isNumber,
  isNumberOrNull,
} from '../field-guards.ts';
import type { WettingEpisode } from '../vocabulary.ts';
import { type OutdoorSlice, type VapourExcess, vapourExcess, waterIsAbout } from './outdoor.ts';
import {
  PLATE_FILM_FIELDS,
  PLATE_FILM_START,
  type PlateFilm,
  stepPlateFilm,
} from './plate-film.ts';
import type { CompartmentAir, Sample } from './sample.ts';
import { isSaturated } from './saturated-air.ts';
import {
  isUsualExcess,
  stepUsualExcess,
  USUAL_EXCESS_START,
  type UsualExcess,
  type UsualExcessBand,
  usualExcessAt,
} from './usual-excess.ts';
import { judgeWet } from './wet-criteria.ts';
import {
  countWetDay,
  WET_DAYS_FIELDS,
  WET_DAYS_START,
  type WetDays,
  wetMsOf30Days,
} from './wet-days.ts';
import {
  spellStands,
  stepWetSpell,
  WET_SPELL_FIELDS,
  WET_SPELL_START,
  type WetSpell,
} from './wet-spell.ts';
import {
  endCourse,
  stepCourse,
  WETTING_COURSE_FIELDS,
  WETTING_COURSE_START,
  type WettingCourse,
} from './wetting-course.ts';

/**
 * Wettings of the compartment, as episodes. Never an alarm.
 *
 * Uses: `rh t tp`, the outdoor report. Wet means ISO 9223's criterion (RH above 80 %, above 0 C)
 * in the air or at the plate, or a liquid film on the plate: hours of wetness and alarms go by it.
 * Wettings as episodes have a wider one, since dirt holds salt (`wet-criteria.ts`), and
 * last on while dirt dries.
 */
export interface WetnessSlice extends WettingCourse, WetDays {
  readonly atMs: number | null;
  readonly humidityPercent: number | null;
  readonly celsius: number | null;
  readonly marginKelvin: number | null;
  readonly marginInferred: boolean;
  readonly excessPascals: number | null;
  readonly usualExcess: readonly UsualExcessBand[];
  /** Excess of vapour pressure over the outdoor air that is usual without water about, Pa. */
  readonly usualExcessPascals: number | null;
  /**
   * Dew and frost that the compartment has taken from the air outside and not given back, as
   * vapour-pressure deficit times hours, Pa h. What it gives back is no water that got in.
   */
  readonly dewPascalHours: number;
  /** The newest reading: wet as alarms mean it, by ISO 9223, with water coming in. */
  readonly wet: boolean;
  readonly wetByIso: boolean;
  readonly excessIsReal: boolean;
  readonly saturated: boolean;
  readonly waterIsAbout: boolean;
  readonly film: PlateFilm;
  readonly spell: WetSpell;
}

const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
/** Nothing heard for this long: a wetting is not carried across. */
const LONGEST_UNSEEN_MS: number = 6 * HOUR_MS;
/** Time between two wet readings counts at most this much. */
const MOST_GAP_MS: number = 30 * MINUTE_MS;

/** Building air condenses in such weather. */
const FROST_CELSIUS = 5;
const FROST_RATIO = 0.5;
/** Twice the error of two sensors in the cold: 3 %RH is 18 Pa at 0 C. */
const BUILDING_AIR_PASCALS = 40;
const DRIED_MARGIN_KELVIN = 6;
/** A night and a day of dew; more would run off and stay as water. */
const MOST_DEW_PASCAL_HOURS = 3000;

export const WETNESS_START: WetnessSlice = {
  atMs: null,
  humidityPercent: null,
  celsius: null,
  marginKelvin: null,
  marginInferred: false,
  excessPascals: null,
  usualExcess: USUAL_EXCESS_START,
  usualExcessPascals: null,
  dewPascalHours: 0,
  wet: false,
  wetByIso: false,
  excessIsReal: false,
  saturated: false,
  waterIsAbout: false,
  film: PLATE_FILM_START,
  spell: WET_SPELL_START,
  ...WETTING_COURSE_START,
  ...WET_DAYS_START,
};

export const WETNESS_FIELDS: FieldGuards<WetnessSlice> = {
  atMs: isNumberOrNull,
  humidityPercent: isNumberOrNull,
  celsius: isNumberOrNull,
  marginKelvin: isNumberOrNull,
  marginInferred: isBoolean,
  excessPascals: isNumberOrNull,
  usualExcess: isUsualExcess,
  usualExcessPascals: isNumberOrNull,
  dewPascalHours: isNumber,
  wet: isBoolean,
  wetByIso: isBoolean,
  excessIsReal: isBoolean,
  saturated: isBoolean,
  waterIsAbout: isBoolean,
  film: hasShape(PLATE_FILM_FIELDS),
  spell: hasShape(WET_SPELL_FIELDS),
  ...WETTING_COURSE_FIELDS,
  ...WET_DAYS_FIELDS,
};

export interface WetnessStep {
  readonly slice: WetnessSlice;
  readonly episodes: readonly WettingEpisode[];
}

const NO_EPISODES: readonly WettingEpisode[] = [];

/** True from the first reading that is wet by the strict criterion until an hour without one. */
export function compartmentIsWet(slice: WetnessSlice): boolean {
  return slice.wet || spellStands(slice.spell);
}

/** To be called for instants that bring the compartment's air. */
export function stepWetness(
  slice: WetnessSlice,
  sample: Sample,
  air: CompartmentAir,
  outdoor: OutdoorSlice,
): WetnessStep {
  const { atMs } = sample;
  const unseen = slice.atMs !== null && atMs - slice.atMs > LONGEST_UNSEEN_MS;
  const carried = unseen ? endWetting(slice, outdoor) : null;
  const before = carried === null ? slice : carried.slice;
  const elapsedMs = before.atMs === null ? 0 : Math.min(atMs - before.atMs, MOST_GAP_MS);
  const usual = usualExcessIn(before, outdoor);
  const excess = vapourExcess(air, outdoor, usual, atMs);
  const dewPascalHours = dewBalance(before, excess, air.marginKelvin, elapsedMs);
  const water = waterIsAbout(outdoor, atMs, air.celsius);
  const wetByIso = isTimeOfWetness(air.humidityPercent, air.celsius);
  const film = stepPlateFilm(before.film, air, excess, elapsedMs, usual?.pascals ?? 0);
  const seen = judgeWet(before, air, film.present);
  const excessIsReal = excess !== null && excess.beyondErrorPascals > 0 && dewPascalHours === 0;
  const saturated = isSaturated(air);
  const { course, episodes } = stepCourse(
    before,
    {
      atMs,
      wetElapsedMs: seen.byIsoOrFilm && before.wet ? elapsedMs : 0,
      ...seen,
      waterIsAbout: water || sample.doorOpen,
      excessPascals: excess === null ? null : excess.pascals,
      excessRatio: excess === null ? null : ratioOf(excess, saturated, outdoor, usual),
      air,
    },
    outdoor,
  );
  const days = countWetDay(before, atMs, wetByIso && before.wetByIso ? elapsedMs : 0);
  const next: WetnessSlice = {
    atMs,
    humidityPercent: air.humidityPercent,
    celsius: air.celsius,
    marginKelvin: air.marginKelvin,
    marginInferred: air.marginInferred,
    excessPascals: excess === null ? null : excess.pascals,
    usualExcess:
      excess === null || outdoor.celsius === null
        ? before.usualExcess
        : stepUsualExcess(before.usualExcess, outdoor.celsius, excess.pascals, water, elapsedMs),
    usualExcessPascals: usual === null ? null : usual.pascals,
    dewPascalHours,
    wet: seen.wet,
    wetByIso,
    excessIsReal,
    saturated,
    waterIsAbout: water,
    film,
    spell: stepWetSpell(before.spell, atMs, seen),
    firstWetMs: course.firstWetMs,
    dampSinceMs: course.dampSinceMs,
    wetReadings: course.wetReadings,
    lastWetMs: course.lastWetMs,
    lastFilmMs: course.lastFilmMs,
    open: course.open,
    day: days.day,
    dayWetMs: days.dayWetMs,
    earlierMinutes: days.earlierMinutes,
  };
  return carried === null || carried.episodes.length === 0
    ? { slice: next, episodes }
    : { slice: next, episodes: [...carried.episodes, ...episodes] };
}

function usualExcessIn(
  { usualExcess }: WetnessSlice,
  { celsius }: OutdoorSlice,
): UsualExcess | null {
  return celsius === null ? null : usualExcessAt(usualExcess, celsius);
}

/**
 * The excess as a mark of water that came in. Where building air is known by a standing excess,
 * saturated air in the cold is its frost or dew as well.
 */
function ratioOf(
  { ratio }: VapourExcess,
  saturated: boolean,
  { celsius }: OutdoorSlice,
  usual: UsualExcess | null,
): number {
  const fromBuilding =
    saturated &&
    celsius !== null &&
    celsius < FROST_CELSIUS &&
    (usual?.pascals ?? 0) >= BUILDING_AIR_PASCALS;
  return fromBuilding ? Math.min(ratio, FROST_RATIO) : ratio;
}

/**
 * Air that is drier inside than outside loses vapour to dew or frost on cold surfaces; the same
 * exchange of air carries it out again, so deficit and excess times hours weigh each other up.
 */
function dewBalance(
  slice: WetnessSlice,
  excess: VapourExcess | null,
  marginKelvin: number,
  elapsedMs: number,
): number {
  // A surface far above the dew point holds no film.
  if (marginKelvin > DRIED_MARGIN_KELVIN) return 0;
  if (excess === null) return slice.dewPascalHours;
  const balancePascals = excess.pascals - Math.max(slice.usualExcessPascals ?? 0, 0);
  if (Math.abs(balancePascals) <= excess.errorPascals) return slice.dewPascalHours;
  const dew = slice.dewPascalHours - (balancePascals * elapsedMs) / HOUR_MS;
  return Math.min(Math.max(dew, 0), MOST_DEW_PASCAL_HOURS);
}

function endWetting(slice: WetnessSlice, outdoor: OutdoorSlice): WetnessStep {
  const { course, episodes } = endCourse(slice, outdoor);
  const spell = { ...WET_SPELL_START, filmAtMs: slice.spell.filmAtMs };
  return {
    slice: {
      ...slice,
      wet: false,
      wetByIso: false,
      film: PLATE_FILM_START,
      spell,
      ...course,
    },
    episodes: episodes.length === 0 ? NO_EPISODES : episodes,
  };
}

/** ISO 9223 hours of wetness of the newest day and the 29 before it. */
export function wetHoursOf30Days(slice: WetnessSlice): number {
  return wetMsOf30Days(slice) / HOUR_MS;
}
