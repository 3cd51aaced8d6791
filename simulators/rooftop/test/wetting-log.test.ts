import { saturationOverWaterPascals } from '@lineside/physics';
import { describe, expect, it } from 'vitest';
import type { WettingTruth } from '../src/index.ts';
import { Compartment } from '../src/world/compartment.ts';
import { type Opening, PLAIN_SURROUNDINGS } from '../src/world/surroundings.ts';
import { emptyWeather, type Weather } from '../src/world/weather.ts';
import {
  DRY_FOR_MS,
  FILM_BEGINS_GRAMS_PER_SQUARE_METRE,
  WettingLog,
} from '../src/world/wetting-log.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const BUILD = {
  airChangesPerHour: 2,
  windAirChanges: 0.15,
  stackAirChanges: 0.1,
  skinCoupling: 0.8,
};
const EAST: Opening = { facingDegrees: 90, catchSquareMetres: 0.02, drainBlocked: false };

interface Spell {
  readonly hours: number;
  readonly weather: Weather;
}

function weatherOf(celsius: number, humidityPercent: number, more: Partial<Weather> = {}): Weather {
  const vapourPascals = (humidityPercent / 100) * saturationOverWaterPascals(celsius);
  return {
    ...emptyWeather(),
    celsius,
    humidityPercent,
    vapourPascals,
    windMetresPerSecond: 2,
    windFromDegrees: 90,
    cloudShare: 1,
    skyCelsius: celsius - 2,
    ...more,
  };
}

const FAIR: Spell = { hours: 12, weather: weatherOf(14, 45) };

/** Plays the spells one after another and tells what the log wrote. */
function played(spells: readonly Spell[], openings: readonly Opening[] = []) {
  const first = spells[0]!.weather;
  const compartment = new Compartment(BUILD, PLAIN_SURROUNDINGS, openings, first);
  const log = new WettingLog();
  const films: { atMs: number; liquid: number }[] = [];
  let atMs = 0;
  for (const { hours, weather } of spells) {
    for (const endMs = atMs + hours * HOUR_MS; atMs < endMs; ) {
      atMs += MINUTE_MS;
      compartment.step(weather, { airWatts: 0, plateWatts: 0 }, false, atMs, 60);
      log.step(compartment, atMs, 60);
      films.push({ atMs, liquid: compartment.surface().filmGramsPerSquareMetre });
    }
  }
  return { wettings: log.wettings(compartment), films, endMs: atMs };
}

function sources(wettings: readonly WettingTruth[]): string[] {
  return wettings.map(({ source }) => source);
}

describe('the log of true wettings', () => {
  it('stays empty in fair weather', () => {
    expect(played([FAIR, FAIR]).wettings).toEqual([]);
  });

  it('calls driven rain water ingress, from the first film to the last of it', () => {
    const rain = weatherOf(10, 90, { rainMm: 0.05, windMetresPerSecond: 10 });
    const { wettings, films } = played(
      [FAIR, { hours: 4, weather: rain }, FAIR, FAIR, FAIR],
      [EAST],
    );
    const [wetting] = wettings.filter(({ source }) => source === 'water-ingress');
    expect(wettings[0]).toBe(wetting);
    const wet = films.filter(({ liquid }) => liquid >= FILM_BEGINS_GRAMS_PER_SQUARE_METRE);
    expect(wet[0]!.atMs - wetting!.startMs).toBeGreaterThanOrEqual(0);
    expect(wet[0]!.atMs - wetting!.startMs).toBeLessThan(HOUR_MS);
    expect(wetting!.startMs).toBeGreaterThan(12 * HOUR_MS);
    const most = Math.max(...films.map(({ liquid }) => liquid));
    expect(wetting!.peakFilmGramsPerSquareMetre).toBe(most);
    expect(films.find(({ atMs }) => atMs === wetting!.peakMs)!.liquid).toBe(most);
    expect(wetting!.endMs).toBeGreaterThanOrEqual(wet.at(-1)!.atMs);
    expect(films.find(({ atMs }) => atMs === wetting!.endMs)!.liquid).toBeLessThan(1);
  });

  it('calls the same rain nothing when no opening faces the wind', () => {
    const rain = weatherOf(10, 65, { rainMm: 0.05, windMetresPerSecond: 10, windFromDegrees: 270 });
    expect(played([FAIR, { hours: 4, weather: rain }, FAIR], [EAST]).wettings).toEqual([]);
  });

  it('calls dew of a clear calm night condensation', () => {
    const sky = { skyCelsius: -12, windMetresPerSecond: 0.5, cloudShare: 0 };
    const night = weatherOf(8, 96, sky);
    const { wettings } = played([FAIR, { hours: 9, weather: night }, FAIR]);
    expect(sources(wettings)).toContain('condensation');
    expect(sources(wettings)).not.toContain('water-ingress');
  });

  it('calls warm damp air on a plate that a frost has cooled condensation', () => {
    const frost = weatherOf(-6, 70);
    const mild = weatherOf(9, 98);
    const { wettings } = played([
      { hours: 12, weather: frost },
      { hours: 3, weather: mild },
    ]);
    expect(sources(wettings)).toContain('condensation');
  });

  it('calls days of damp air without a drop humid weather, and ends it when they end', () => {
    const damp = weatherOf(14, 90);
    const { wettings } = played([FAIR, { hours: 20, weather: damp }, FAIR]);
    expect(sources(wettings)).toEqual(['humid-weather']);
    expect(wettings[0]!.peakFilmGramsPerSquareMetre).toBeLessThan(1);
    expect(wettings[0]!.startMs).toBeGreaterThan(12 * HOUR_MS);
    expect(wettings[0]!.startMs).toBeLessThan(15 * HOUR_MS);
    expect(wettings[0]!.endMs).toBeGreaterThan(32 * HOUR_MS);
    expect(wettings[0]!.endMs).toBeLessThan(38 * HOUR_MS);
  });

  it('is silent about snow until it melts, and calls the melt ingress', () => {
    const storm = weatherOf(-6, 60, { snowMm: 0.03, windMetresPerSecond: 15 });
    const frost = weatherOf(-6, 60);
    const thaw = weatherOf(5, 65);
    const spells = [
      { hours: 10, weather: storm },
      { hours: 24, weather: frost },
      { hours: 10, weather: thaw },
    ];
    const { wettings, endMs } = played(spells, [EAST]);
    expect(sources(wettings)).toEqual(['water-ingress']);
    expect(wettings[0]!.startMs).toBeGreaterThan(34 * HOUR_MS);
    expect(wettings[0]!.endMs).toBe(endMs);
  });

  /** Minutes in which the state is as told, whatever a compartment would do by itself. */
  function dictated(
    parts: readonly { minutes: number; film?: number; pool?: number; rh?: number }[],
  ) {
    const fair = weatherOf(14, 45);
    const compartment = new Compartment(BUILD, PLAIN_SURROUNDINGS, [], fair);
    const { ledger, state } = compartment;
    const log = new WettingLog();
    let atMs = 0;
    for (const { minutes, film = 0, pool = 0, rh = 45 } of parts) {
      ledger.drippedGrams += film;
      for (let minute = 0; minute < minutes; minute += 1) {
        atMs += MINUTE_MS;
        state.filmGramsPerSquareMetre = film;
        state.poolGrams = pool;
        state.vapourPascals = (rh / 100) * saturationOverWaterPascals(state.plateCelsius);
        log.step(compartment, atMs, 60);
      }
    }
    return log.wettings(compartment);
  }

  it('joins a film with the next one when the break is shorter than the hour it waits', () => {
    const wait = DRY_FOR_MS / MINUTE_MS;
    const twice = (breakMinutes: number) =>
      dictated([
        { minutes: 10, film: 5 },
        { minutes: breakMinutes },
        { minutes: 10, film: 7 },
        { minutes: 200 },
      ]);
    expect(twice(wait - 1)).toEqual([
      {
        startMs: MINUTE_MS,
        peakMs: (10 + wait) * MINUTE_MS,
        endMs: (19 + wait) * MINUTE_MS,
        source: 'water-ingress',
        peakFilmGramsPerSquareMetre: 7,
      },
    ]);
    expect(twice(wait).map(({ startMs, endMs }) => [startMs, endMs])).toEqual([
      [MINUTE_MS, 10 * MINUTE_MS],
      [(11 + wait) * MINUTE_MS, (20 + wait) * MINUTE_MS],
    ]);
  });

  it('takes a film soon after the air became humid as one wetting, a late one as another', () => {
    const soon = dictated([
      { minutes: 60, rh: 92 },
      { minutes: 30, rh: 92, film: 5 },
    ]);
    expect(sources(soon)).toEqual(['water-ingress']);
    const late = dictated([
      { minutes: 600, rh: 92 },
      { minutes: 30, rh: 92, film: 5 },
    ]);
    expect(sources(late)).toEqual(['humid-weather', 'water-ingress']);
    expect(late[0]!.endMs).toBe(late[1]!.startMs);
  });

  it('holds water that stands below to account for a humid compartment without a film', () => {
    expect(sources(dictated([{ minutes: 300, rh: 92, pool: 200 }]))).toEqual(['water-ingress']);
    expect(sources(dictated([{ minutes: 300, rh: 92, pool: 5 }]))).toEqual(['humid-weather']);
  });
});
