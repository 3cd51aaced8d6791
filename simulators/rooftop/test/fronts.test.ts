import { dewPointCelsius } from '@lineside/physics';
import { describe, expect, it } from 'vitest';
import { CLIMATES, type ClimateName } from '../src/index.ts';
import type { Weather } from '../src/world/weather.ts';
import { WeatherMaker } from '../src/world/weather-maker.ts';
import { mean } from './small-world.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const START_MS = Date.UTC(2026, 0, 1);
const HOURS_A_YEAR = 365 * 24;
/** How slowly a heavy plate follows the air. */
const PLATE_LAG_MINUTES = 360;

interface Hour {
  readonly weather: Weather;
  readonly wetMm: number;
  readonly dewPoint: number;
  readonly plateCelsius: number;
}

function yearOf(name: ClimateName, latitudeDegrees = 44): Hour[] {
  const maker = new WeatherMaker(11, {
    site: 'here',
    latitudeDegrees,
    longitudeDegrees: 0,
    climate: CLIMATES[name],
    storms: [],
    nowMs: START_MS,
    seasonDayAtNow: 0,
  });
  const hours: Hour[] = [];
  let plateCelsius = Number.NaN;
  for (let hour = 0; hour < HOURS_A_YEAR; hour += 1) {
    let wetMm = 0;
    let weather: Weather | undefined;
    for (let minute = 0; minute < 60; minute += 1) {
      weather = maker.at(START_MS + hour * HOUR_MS + minute * MINUTE_MS);
      wetMm += weather.rainMm + weather.snowMm;
      if (Number.isNaN(plateCelsius)) plateCelsius = weather.celsius;
      plateCelsius += (weather.celsius - plateCelsius) / PLATE_LAG_MINUTES;
    }
    if (weather === undefined) continue;
    hours.push({ weather, wetMm, dewPoint: dewPointCelsius(weather.vapourPascals), plateCelsius });
  }
  return hours;
}

/** The hours in which it grows colder by so much within two hours, the steepest of each day. */
function coldFronts(hours: readonly Hour[], kelvin: number): number[] {
  const fall = (at: number): number =>
    (hours[at - 1]?.weather.celsius ?? 0) - (hours[at + 1]?.weather.celsius ?? 0);
  const found: number[] = [];
  for (let at = 24; at < hours.length - 24; at += 1) {
    if (fall(at) < kelvin || at - (found.at(-1) ?? 0) < 24) continue;
    found.push(fall(at + 1) > fall(at) ? at + 1 : at);
  }
  return found;
}

function turned(before: number, after: number): number {
  return ((after - before + 540) % 360) - 180;
}

describe('a cold front', () => {
  const hours = yearOf('deep-winter');
  const fronts = coldFronts(hours, 7);
  const at = (index: number): Hour => hours[index]!;
  const over = (pick: (front: number) => number): number => mean(fronts.map(pick));

  it('comes some dozens of times a year', () => {
    expect(fronts.length).toBeGreaterThan(15);
    expect(fronts.length).toBeLessThan(120);
  });

  it('brings drier air, a turn of the wind, rising pressure and rain at the same time', () => {
    expect(over((front) => at(front - 3).dewPoint - at(front + 4).dewPoint)).toBeGreaterThan(7);
    const pressure = (index: number): number => at(index).weather.pressurePascals;
    expect(over((front) => pressure(front + 3) - pressure(front - 3))).toBeGreaterThan(500);
    const from = (index: number): number => at(index).weather.windFromDegrees;
    expect(over((front) => turned(from(front - 3), from(front + 4)))).toBeGreaterThan(50);
    const share = (hit: (front: number) => boolean): number =>
      fronts.filter(hit).length / fronts.length;
    const wetAt = (front: number): boolean =>
      hours.slice(front - 2, front + 3).reduce((sum, { wetMm }) => sum + wetMm, 0) > 0.5;
    expect(share(wetAt)).toBeGreaterThan(0.9);
    const isWet = hours.filter((_, index) => index > 24 && index < 8700 && wetAt(index));
    expect(isWet.length / hours.length).toBeLessThan(0.35);
  });

  it('is followed by clear calm air, then by warm air damper than what has cooled', () => {
    const behind = fronts.flatMap((front) => hours.slice(front + 10, front + 20));
    const cloud = (many: readonly Hour[]): number =>
      mean(many.map(({ weather }) => weather.cloudShare));
    const wind = (many: readonly Hour[]): number =>
      mean(many.map(({ weather }) => weather.windMetresPerSecond));
    expect(cloud(behind)).toBeLessThan(cloud(hours) - 0.1);
    expect(wind(behind)).toBeLessThan(0.85 * wind(hours));
    const dewing = hours.filter(({ dewPoint, plateCelsius }) => dewPoint > plateCelsius);
    expect(dewing.length).toBeGreaterThan(100);
    expect(dewing.length).toBeLessThan(0.2 * HOURS_A_YEAR);
  });

  it('turns the wind to the other side in the south', () => {
    const south = yearOf('deep-winter', -44);
    const from = (index: number): number => south[index]?.weather.windFromDegrees ?? 0;
    const turns = coldFronts(south, 7).map((front) => turned(from(front - 3), from(front + 4)));
    expect(turns.length).toBeGreaterThan(15);
    expect(mean(turns)).toBeLessThan(-50);
  });
});

describe('seasons', () => {
  const monthMean = (hours: readonly Hour[], fromDay: number): number =>
    mean(hours.slice(24 * fromDay, 24 * (fromDay + 31)).map(({ weather }) => weather.celsius));

  it('are turned round in the south, warmth and sun alike', () => {
    const north = yearOf('salt-shore', 44);
    const south = yearOf('salt-shore', -44);
    expect(monthMean(north, 181) - monthMean(north, 0)).toBeGreaterThan(7);
    expect(monthMean(south, 0) - monthMean(south, 181)).toBeGreaterThan(7);
    const sun = (hours: readonly Hour[], fromDay: number): number =>
      mean(
        hours.slice(24 * fromDay, 24 * (fromDay + 31)).map((h) => h.weather.sunWattsPerSquareMetre),
      );
    expect(sun(south, 0)).toBeGreaterThan(1.7 * sun(south, 181));
    expect(sun(north, 181)).toBeGreaterThan(1.7 * sun(north, 0));
  });

  it('bring a desert its monsoon: damp air, and more than twice the rain of spring', () => {
    const desert = yearOf('dry-basin', 33);
    const monsoon = desert.slice(24 * 181, 24 * 243);
    const spring = desert.slice(24 * 90, 24 * 151);
    const water = (many: readonly Hour[]): number => many.reduce((sum, h) => sum + h.wetMm, 0);
    expect(water(monsoon)).toBeGreaterThan(2 * water(spring));
    expect(mean(monsoon.map((h) => h.dewPoint))).toBeGreaterThan(
      mean(spring.map((h) => h.dewPoint)) + 8,
    );
  });
});

describe('nights', () => {
  it('are sometimes clear, calm and cold, and sometimes in fog without any rain', () => {
    const hours = yearOf('rainy-valley');
    const night = hours.filter(({ weather }) => weather.sunWattsPerSquareMetre === 0);
    const clear = night.filter(
      ({ weather }) => weather.cloudShare < 0.3 && weather.windMetresPerSecond < 1.5,
    );
    expect(clear.length).toBeGreaterThan(200);
    expect(mean(clear.map(({ weather }) => weather.celsius - weather.skyCelsius))).toBeGreaterThan(
      15,
    );
    const fog = hours.filter(({ weather, wetMm }) => weather.humidityPercent > 99.5 && wetMm === 0);
    expect(fog.length).toBeGreaterThan(100);
    expect(fog.length).toBeLessThan(2000);
    const dark = fog.filter(({ weather }) => weather.sunWattsPerSquareMetre === 0);
    expect(dark.length).toBeGreaterThan(0.6 * fog.length);
  });
});
