import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { createWorld, type HourlyReport, healthyScript, parseHourlyCsv } from '../src/index.ts';
import { RecordedWeather } from '../src/world/recorded-weather.ts';
import { fleetOf } from './small-world.ts';

const MINUTE_MS = 60_000;
const PLACE = { latitudeDegrees: 40.6, longitudeDegrees: -73.8 };

/** Hourly weather of three airports of one city in 2013, CC0; see the README beside it. */
const OPEN_DATA = join(
  import.meta.dirname,
  ...['..', '..', '..', '..', 'shared', 'data', 'weather-2013.csv.gz'],
);

function report(hour: number, more: Partial<HourlyReport>): HourlyReport {
  return {
    atMs: Date.UTC(2026, 0, 1, hour),
    celsius: 4,
    humidityPercent: 80,
    windFromDegrees: 90,
    windMetresPerSecond: 5,
    precipitationMm: 0,
    pressurePascals: 101_000,
    ...more,
  };
}

describe('recorded weather', () => {
  it('goes straight from report to report, and spreads water over the hour before', () => {
    const weather = new RecordedWeather(
      [report(0, {}), report(1, { celsius: 10, humidityPercent: 60, precipitationMm: 3 })],
      PLACE,
    );
    const half = weather.at(Date.UTC(2026, 0, 1, 0, 30));
    expect(half.celsius).toBeCloseTo(7, 9);
    expect(half.humidityPercent).toBeCloseTo(70, 9);
    let water = 0;
    for (let minute = 0; minute < 60; minute++) {
      const { rainMm, snowMm } = weather.at(Date.UTC(2026, 0, 1, 0, minute));
      water += rainMm + snowMm;
    }
    expect(water).toBeCloseTo(3, 6);
  });

  it('carries on what is missing, and leaves out reports without temperature', () => {
    const weather = new RecordedWeather(
      [
        report(0, { windMetresPerSecond: 8 }),
        report(1, { celsius: null }),
        report(2, { windMetresPerSecond: null, celsius: 8 }),
      ],
      PLACE,
    );
    const middle = weather.at(Date.UTC(2026, 0, 1, 1));
    expect([middle.celsius, middle.windMetresPerSecond]).toEqual([6, 8]);
  });

  it('says for when there is none', () => {
    const weather = new RecordedWeather([report(0, {}), report(20, {})], PLACE);
    expect(() => weather.at(Date.UTC(2025, 11, 31))).toThrow('2025-12-31T00:00:00.000Z');
    expect(() => weather.at(Date.UTC(2026, 0, 1, 5))).toThrow('no weather is recorded');
    expect(() => new RecordedWeather([report(0, { celsius: null })], PLACE)).toThrow(RangeError);
  });

  it('names what is wrong in a file', () => {
    expect(() => parseHourlyCsv('a,b\n1,2')).toThrow("no column 'origin'");
    const head = 'origin,temp,humid,wind_dir,wind_speed,precip,pressure,time_hour';
    expect(() => parseHourlyCsv(`${head}\nX,warm,1,1,1,1,1,2013-01-01T00:00:00Z`)).toThrow(
      "line 2 of the weather file: 'warm'",
    );
    expect(() => parseHourlyCsv(`${head}\nX,1,1,1,1,1,1,then`)).toThrow('line 2');
  });
});

const present = existsSync(OPEN_DATA);
const title = present ? 'recorded weather of a real year' : 'skipped: open data not present';

describe.skipIf(!present)(title, () => {
  const text = (): string => gunzipSync(readFileSync(OPEN_DATA)).toString('utf8');

  it('brings the blizzard of 8 and 9 February 2013 as snow, and a summer without any', () => {
    const reports = parseHourlyCsv(text()).get('JFK') ?? [];
    expect(reports.length).toBeGreaterThan(8_000);
    const weather = new RecordedWeather(reports, PLACE);
    const waterOf = (fromMs: number, toMs: number) => {
      let snowMm = 0;
      let rainMm = 0;
      let strongestWind = 0;
      for (let atMs = fromMs; atMs < toMs; atMs += MINUTE_MS) {
        const minute = weather.at(atMs);
        snowMm += minute.snowMm;
        rainMm += minute.rainMm;
        strongestWind = Math.max(strongestWind, minute.windMetresPerSecond);
      }
      return { snowMm, rainMm, strongestWind };
    };
    const blizzard = waterOf(Date.UTC(2013, 1, 8, 12), Date.UTC(2013, 1, 9, 12));
    expect(blizzard.snowMm).toBeGreaterThan(5);
    expect(blizzard.strongestWind).toBeGreaterThan(10);
    const july = waterOf(Date.UTC(2013, 6, 1, 5), Date.UTC(2013, 6, 29, 5));
    expect(july.snowMm).toBe(0);
  });

  it('drives a unit through the blizzard: snow gets in at the gasket and melts', () => {
    const reports = parseHourlyCsv(text()).get('LGA') ?? [];
    const startMs = Date.UTC(2013, 1, 7);
    const endMs = Date.UTC(2013, 1, 13);
    const fleet = fleetOf(`sites:
    - id: test-site
      latitude: 40.8
      longitude: -73.9
      units:
        - { id: rtu-01, supply: { volts: 480 }, node: { supply: battery } }
`);
    const opening = { facingDegrees: 20, catchSquareMetres: 0.02, drainBlocked: true };
    const world = createWorld({
      seed: 3,
      fleet,
      startMs,
      scenario: {
        nowMs: endMs,
        startMs,
        seasonDayAtNow: 43,
        climates: {},
        storms: [],
        recordedWeather: { 'test-site': reports },
        units: [
          {
            ...healthyScript('test-site', 'rtu-01'),
            faults: [{ kind: 'water-ingress', opening }],
          },
        ],
      },
    });
    const unit = world.unit('test-site', 'rtu-01');
    let mostSnowGrams = 0;
    let mostPoolGrams = 0;
    for (let atMs = startMs + MINUTE_MS; atMs <= endMs; atMs += MINUTE_MS) {
      unit.step(atMs);
      const { snowGrams, poolGrams } = unit.truth().compartment;
      mostSnowGrams = Math.max(mostSnowGrams, snowGrams);
      mostPoolGrams = Math.max(mostPoolGrams, poolGrams);
    }
    expect(mostSnowGrams).toBeGreaterThan(20);
    expect(mostPoolGrams).toBeGreaterThan(10);
    expect(unit.truth().compartment.snowGrams).toBeLessThan(mostSnowGrams / 2);
  });
});
