import { existsSync, readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { gunzipSync } from 'node:zlib';
import {
  dewPointCelsius,
  isTimeOfWetness,
  relativeHumidityPercent,
  saturationOverWaterPascals,
  vapourPressurePascals,
  wetnessClass,
} from '@lineside/physics';
import psychrolib from 'psychrolib';
import { describe, expect, it } from 'vitest';

/**
 * Hourly airport reports of 2013 (open data, CC0) with temperature, humidity and dew point. It is
 * read beside the repository and never copied into it.
 *
 * Most rows give tenths of a degree; those with a whole degree Celsius may come from a report
 * rounded by up to 0.5 K in both temperatures, which moves a dew point by more than a kelvin.
 * Even among the others about one row in fifty joins values of two reports of that hour.
 */
const FILE = resolve(import.meta.dirname, '../../../../shared/data/weather-2013.csv.gz');

interface Row {
  readonly origin: string;
  readonly celsius: number;
  readonly humidityPercent: number;
  readonly dewPoint: number;
  /** Temperature or dew point reads like a whole degree Celsius. */
  readonly maybeRounded: boolean;
}

function celsiusOf(fahrenheit: number): number {
  return ((fahrenheit - 32) * 5) / 9;
}

function isWhole(celsius: number): boolean {
  return Math.abs(celsius - Math.round(celsius)) < 0.02;
}

function readRows(): readonly Row[] {
  const lines = gunzipSync(readFileSync(FILE)).toString('utf8').trim().split('\n').slice(1);
  return lines.flatMap((line) => {
    const [origin = '', , , , , temp, dewp, humid] = line.split(',');
    const celsius = celsiusOf(Number(temp));
    const dewPoint = celsiusOf(Number(dewp));
    const humidityPercent = Number(humid);
    if (![celsius, dewPoint, humidityPercent].every(Number.isFinite)) return [];
    if (humidityPercent > 100) return [];
    const maybeRounded = isWhole(celsius) || isWhole(dewPoint);
    return [{ origin, celsius, humidityPercent, dewPoint, maybeRounded }];
  });
}

function errorKelvin({ celsius, humidityPercent, dewPoint }: Row): number {
  return Math.abs(dewPointCelsius(vapourPressurePascals(humidityPercent, celsius)) - dewPoint);
}

function median(values: readonly number[]): number {
  return values.toSorted((first, second) => first - second)[Math.floor(values.length / 2)] ?? NaN;
}

function shareWithin(values: readonly number[], kelvin: number): number {
  return values.filter((value) => value <= kelvin).length / values.length;
}

const present = existsSync(FILE);
const title = present ? 'a year of airport reports' : 'skipped: open data not present';

describe.skipIf(!present)(title, () => {
  const rows = present ? readRows() : [];
  const precise = rows.filter((row) => !row.maybeRounded);
  const cold = precise.filter((row) => row.celsius < 0);

  it('gives the published dew point, row by row, where it is given in tenths', () => {
    const errors = precise.map(errorKelvin);
    expect(errors.length).toBeGreaterThan(15_000);
    // Tenths of a degree and hundredths of a per cent leave 0.01 K in the middle, 0.1 K at most.
    expect(median(errors)).toBeLessThan(0.01);
    expect(shareWithin(errors, 0.1)).toBeGreaterThan(0.975);
  });

  it('gives it within what whole degrees allow elsewhere', () => {
    const errors = rows.filter((row) => row.maybeRounded).map(errorKelvin);
    expect(shareWithin(errors, 1.5)).toBeGreaterThan(0.99);
  });

  it('agrees below 0 C because humidity is over water, and would not over ice', () => {
    const overWater = cold.map(errorKelvin);
    psychrolib.SetUnitSystem(psychrolib.SI);
    const overIce = cold.map((row) =>
      Math.abs(
        psychrolib.GetTDewPointFromRelHum(row.celsius, row.humidityPercent / 100) - row.dewPoint,
      ),
    );
    expect(overWater.length).toBeGreaterThan(1000);
    expect(median(overWater)).toBeLessThan(0.01);
    expect(shareWithin(overWater, 0.1)).toBeGreaterThan(0.975);
    expect(median(overIce)).toBeGreaterThan(0.1);
  });

  it('gives the published humidity back from temperature and dew point', () => {
    const errors = precise.map(({ celsius, dewPoint, humidityPercent }) =>
      Math.abs(
        relativeHumidityPercent(saturationOverWaterPascals(dewPoint), celsius) - humidityPercent,
      ),
    );
    // Hundredths of a degree leave 0.06 %RH in the middle; joined rows as for the dew point.
    expect(median(errors)).toBeLessThan(0.06);
    expect(shareWithin(errors, 0.6)).toBeGreaterThan(0.975);
  });

  // Counted straight from the file: rows above 80 %RH and above 32 F.
  it.each([
    ['EWR', 1956],
    ['LGA', 1390],
    ['JFK', 2448],
  ])('meets the time-of-wetness criterion at %s in %d hours, class tau3', (origin, wetHours) => {
    const hours = rows.filter((row) => row.origin === origin);
    const wet = hours.filter((row) => isTimeOfWetness(row.humidityPercent, row.celsius));
    expect(hours.length).toBeGreaterThan(8500);
    expect(wet).toHaveLength(wetHours);
    // A few hours of the year are missing, so pro rata.
    expect(wetnessClass((8760 * wet.length) / hours.length)).toBe('tau3');
  });
});
