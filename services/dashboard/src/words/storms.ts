/** Words for storms: when, in what weather, and what to do. */
import type { Storm, StormUnit } from '../api/types.ts';
import { milliamps, quantity } from './quantities.ts';
import { clockTime, dayOf, duration, zoneName } from './times.ts';

const TURNS: Readonly<Record<StormUnit['visit']['turn'], string>> = {
  first: 'Go first',
  soon: 'Go soon',
  'next-service': 'Next service',
  none: 'No visit',
};

export const turnWords = (turn: StormUnit['visit']['turn']): string => TURNS[turn];

/** Zone of the site that was touched most. */
export const zoneOf = (storm: Storm): string => storm.sites[0]?.timezone ?? 'UTC';

/** `11 Jan 22:10 to 13 Jan 04:00 AST, 30 h`, or `since 11 Jan 22:10 AST, still wet`. */
export function periodWords(storm: Storm, nowMs: number): string {
  const zone = zoneOf(storm);
  const at = (time: string): string => {
    const atMs = Date.parse(time);
    return `${dayOf(atMs, zone, nowMs)} ${clockTime(atMs, zone)}`;
  };
  const startMs = Date.parse(storm.start);
  const zoneWord = zoneName(startMs, zone);
  if (storm.end === null) return `since ${at(storm.start)} ${zoneWord}, still wet`;
  const lasted = duration(Date.parse(storm.end) - startMs);
  return `${at(storm.start)} to ${at(storm.end)} ${zoneWord}, ${lasted}`;
}

/** `18 mm of rain, wind up to 14 m/s, −2 to 7 °C`; null without an outdoor station. */
export function weatherWords(weather: Storm['weather']): string | null {
  if (weather === null) return null;
  const { rainMillimetres: rain, snowMillimetres: snow, lowestCelsius, highestCelsius } = weather;
  const wind = weather.highestWindMetresPerSecond;
  const told = [
    rain !== null && rain >= 0.1 ? `${quantity(rain, 'mm', rain < 10 ? 1 : 0)} of rain` : null,
    snow !== null && snow >= 0.1
      ? `${quantity(snow, 'mm', snow < 10 ? 1 : 0)} of snow as water`
      : null,
    wind === null ? null : `wind up to ${quantity(wind, 'm/s', 0)}`,
    lowestCelsius === null || highestCelsius === null
      ? null
      : `${quantity(lowestCelsius, '', 0)} to ${quantity(highestCelsius, '°C', 0)}`,
  ].filter((words) => words !== null);
  return told.length === 0 ? null : told.join(', ');
}

/** `14.2 mA, 12.9 above usual`, with the highest moment where that was more. */
export function leakageWords(unit: StormUnit): string {
  if (unit.peakMilliamps === null) return 'not measured';
  const moment = unit.highestMomentMilliamps ?? 0;
  const isMore = moment >= unit.peakMilliamps + 0.1;
  const more = isMore ? ` (${moment.toFixed(1)} for a moment)` : '';
  const peak = `${milliamps(unit.peakMilliamps)}${more}`;
  if (unit.excessMilliamps === null) return peak;
  return `${peak}, ${unit.excessMilliamps.toFixed(1)} above usual`;
}

/** `4 h until dry`, `still wet`. */
export function dryingWords(unit: StormUnit): string {
  if (unit.isWet) return 'still wet';
  return unit.dryingHours === null ? '–' : quantity(unit.dryingHours, 'h', 1);
}

/** `2 alarms, acknowledged after 12 min`. */
export function alarmsWords(unit: StormUnit): string {
  const count = unit.alarms.length;
  if (count === 0) return 'none';
  const alarms = `${count} ${count === 1 ? 'alarm' : 'alarms'}`;
  const waiting = unit.unacknowledged === 0 ? null : `${unit.unacknowledged} not acknowledged`;
  const after =
    unit.minutesToAcknowledge === null
      ? null
      : `acknowledged after ${duration(unit.minutesToAcknowledge * 60_000)}`;
  return [alarms, after, waiting].filter((words) => words !== null).join(', ');
}

/** `2 replaced (A, C)`, `suspected`, `none`. */
export function fusesWords({ fuses }: StormUnit): string {
  if (fuses.replaced === null) return 'replaced';
  if (fuses.replaced > 0) {
    return `${fuses.replaced} replaced (${fuses.phases.join(', ').toUpperCase()})`;
  }
  return fuses.suspected ? 'suspected' : 'none';
}
