import { saturationOverWaterPascals } from '@lineside/physics';
import type { CompartmentAir } from './sample.ts';
import { spellStands, type WetSpell } from './wet-spell.ts';
import type { OpenWetting } from './wetting-episode.ts';

/**
 * What counts as wet. Alarms and hours of wetness go by ISO 9223's criterion (RH above 80 %, above
 * 0 C) in the air or at the plate, or a liquid film on the plate. Episodes are no alarms and go by
 * a wider one, since dirt holds salt that no criterion of the standard knows.
 */
export interface WetVerdict {
  /** By the strict criterion, and a little below it, see `DAMP_FROM_PERCENT`. */
  readonly wet: boolean;
  readonly byIsoOrFilm: boolean;
  /** A liquid film. */
  readonly liquid: boolean;
  /** By the criterion of episodes; true wherever `wet` is. */
  readonly damp: boolean;
  /** By the one for what a film leaves behind, when an episode is open. */
  readonly dampBehindFilm: boolean;
  /** A film, liquid or such frost as salt thaws. */
  readonly filmed: boolean;
}

/** Of ISO 9223's criterion, above 0 C. */
const ISO_PERCENT = 80;
/** Less one for the sensor. */
const DAMP_FROM_PERCENT: number = ISO_PERCENT - 1;
/** Dirt gives its water off below the humidity at which it took it up, and later. */
const DAMP_ON_PERCENT = 74;
/** What dirt holds freezes a little below 0 C (common practice, no source). */
const THAWING_CELSIUS = -1;
const THAWING_PERCENT = 90;
/**
 * Of an episode: sodium nitrate takes up water from 74.2 %RH on at 25 C, common salt from 75.3 (CRC
 * Handbook, after A. Wexler), and salts together from less than either.
 */
const EPISODE_FROM_PERCENT = 74;
/** It lasts down to what a humidity sensor errs by below. */
const EPISODE_ON_PERCENT: number = EPISODE_FROM_PERCENT - 3;
/**
 * What a film has dissolved stays a solution far below that: sodium chloride wets at 75 %RH and
 * dries at 45 (S. T. Martin, Chemical Reviews 100, 2000, from memory), and dirt holds many salts.
 * How far below is a guess on the safe side.
 */
const BEHIND_FILM_PERCENT = 68;
/** Salt in dirt thaws frost down to there (common practice of winter roads, no source). */
const BRINE_CELSIUS = -10;

/** What was known before this instant. */
export interface WetBefore {
  readonly spell: WetSpell;
  readonly open: OpenWetting | null;
}

/** One instant; `filmPresent`: water on the plate, liquid or frozen. */
export function judgeWet(before: WetBefore, air: CompartmentAir, filmPresent: boolean): WetVerdict {
  const platePercent = platePercentOf(air);
  const liquid = filmPresent && air.surfaceCelsius > 0;
  const filmed = filmPresent && air.surfaceCelsius > BRINE_CELSIUS;
  const strictFrom = spellStands(before.spell) ? DAMP_ON_PERCENT : DAMP_FROM_PERCENT;
  const wet =
    liquid ||
    isDamp(air, platePercent, strictFrom, 0) ||
    isDamp(air, platePercent, THAWING_PERCENT, THAWING_CELSIUS);
  const isOpen = before.open !== null;
  const isDampFrom = (percent: number): boolean =>
    isDamp(air, platePercent, percent, THAWING_CELSIUS);
  return {
    wet,
    byIsoOrFilm: liquid || isDamp(air, platePercent, ISO_PERCENT, 0),
    liquid,
    damp: wet || filmed || isDampFrom(isOpen ? EPISODE_ON_PERCENT : EPISODE_FROM_PERCENT),
    dampBehindFilm: wet || filmed || (isOpen && isDampFrom(BEHIND_FILM_PERCENT)),
    filmed,
  };
}

/** Humidity of the air as the plate's own temperature makes it, %RH; null without a plate sensor. */
function platePercentOf(air: CompartmentAir): number | null {
  const { marginInferred, surfaceCelsius, vapourPascals } = air;
  if (marginInferred || !(surfaceCelsius < 100)) return null;
  return (100 * vapourPascals) / saturationOverWaterPascals(surfaceCelsius);
}

/** Whether air or plate are damper than that, each where it is warmer than that. */
function isDamp(
  { humidityPercent, celsius, surfaceCelsius }: CompartmentAir,
  platePercent: number | null,
  fromPercent: number,
  aboveCelsius: number,
): boolean {
  if (humidityPercent > fromPercent && celsius > aboveCelsius) return true;
  return platePercent !== null && platePercent > fromPercent && surfaceCelsius > aboveCelsius;
}
