import type { ReviewSite } from './place.ts';
import {
  DRIVING_METRES_PER_SECOND,
  GALE_METRES_PER_SECOND,
  RAIN_OF_DAY_MILLIMETRES,
  RAIN_OF_HOUR_MILLIMETRES,
  SNOW_OF_DAY_MILLIMETRES,
  type StormWeather,
  type StormWeatherKind,
} from './weather.ts';

const SHORT: Readonly<Record<StormWeatherKind, string>> = {
  rain: 'rain',
  wind: 'wind',
  snow: 'snow',
  melt: 'thaw',
};

/** What touched the units of a storm. */
type TouchKind = 'water' | 'condensation' | 'alarm';

/**
 * `Rain and wind, Harbour Mall and 2 more sites`; without such weather it is named after what
 * touched the units.
 */
export function stormName(
  severe: readonly StormWeather[],
  touches: readonly TouchKind[],
  siteNames: readonly string[],
): string {
  const weather = severe.map(({ kind }) => SHORT[kind]);
  const what = weather.length > 0 ? capital(inWords(weather)) : touchWords(touches);
  const [first = '', ...others] = siteNames;
  const more = others.length === 0 ? '' : ` and ${counted(others.length, 'more site')}`;
  return `${what}, ${first}${more}`;
}

function touchWords(touches: readonly TouchKind[]): string {
  if (touches.includes('water')) return 'Water inside';
  return touches.includes('condensation') ? 'Condensation' : 'Leakage';
}

/** `a`, `a and b`, `a, b and c`. */
export function inWords(list: readonly string[]): string {
  const last = list.at(-1) ?? '';
  return list.length < 2 ? last : `${list.slice(0, -1).join(', ')} and ${last}`;
}

/** `1 unit`, `2 units`. */
export function counted(count: number, one: string): string {
  return `${count} ${one}${count === 1 ? '' : 's'}`;
}

/** The first letter large. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** At most `digits` behind the point, none of them a trailing nought. */
export function rounded(value: number, digits = 1): string {
  return String(Number(value.toFixed(digits)));
}

/** Why so many units make a storm. */
export function becauseOfUnits(
  together: number,
  { watchedUnits, least }: { readonly watchedUnits: number; readonly least: number },
): string {
  return (
    `${counted(together, 'unit')} of ${watchedUnits} took in water, condensed beyond habit or ` +
    `raised moisture or leakage within 24 hours; ${least} make a storm here`
  );
}

/** Why such weather makes a storm, with the limit it is above. */
export function becauseOfWeather(
  { kind, site, amount }: StormWeather,
  sites: readonly ReviewSite[],
): string {
  const where = sites.find(({ id }) => id === site)?.name ?? site;
  return `${WEATHER_WORDS[kind](amount)}, ${where}`;
}

const WEATHER_WORDS: Readonly<Record<StormWeatherKind, (amount: number) => string>> = {
  rain: (mm) =>
    `${rounded(mm)} mm of rain in 24 hours (a storm from ${RAIN_OF_DAY_MILLIMETRES} mm, or ` +
    `${RAIN_OF_HOUR_MILLIMETRES} mm in one hour)`,
  wind: (speed) =>
    `wind of ${rounded(speed)} m/s (a storm from ${GALE_METRES_PER_SECOND} m/s, or from ` +
    `${DRIVING_METRES_PER_SECOND} m/s with rain or snow)`,
  snow: (mm) =>
    `${rounded(mm)} mm of snow as water in 24 hours (a storm from ${SNOW_OF_DAY_MILLIMETRES} mm)`,
  melt: (celsius) => `thaw to ${rounded(celsius)} °C after frost and snow`,
};
