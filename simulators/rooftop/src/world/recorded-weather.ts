import { saturationOverWaterPascals } from '@lineside/physics';
import { clamp } from './drift.ts';
import type { HourlyReport } from './hourly-report.ts';
import { sineOfSunHeight, solarHour } from './sun.ts';
import {
  skyCelsiusAt,
  snowShareAt,
  sunWattsAt,
  type Weather,
  type WeatherSource,
} from './weather.ts';

const HOUR_MS = 3_600_000;
const MINUTES_PER_HOUR = 60;
const MS_PER_DAY = 86_400_000;
const DAYS_PER_YEAR = 365.25;
const STANDARD_PASCALS = 101_325;
/** Airports report each hour; a longer gap is no weather to go by. */
const LONGEST_GAP_MS: number = 12 * HOUR_MS;
/** What reports without a cloud cover say of it: overcast while it falls, else by the humidity. */
const WET_CLOUD_SHARE = 0.95;
const CLEAR_AT_PERCENT = 40;
const OVERCAST_AT_PERCENT = 95;

/** Where a station stands. */
export interface StationPlace {
  readonly latitudeDegrees: number;
  readonly longitudeDegrees: number;
}

/**
 * Weather of a real station by the minute, from its hourly reports: temperature, humidity, wind
 * speed and pressure in a straight line between reports that have them, wind direction of the
 * nearer one, water evenly over the hour before the report, as snow by temperature. Clouds are
 * inferred (see above); the sun follows the calendar.
 */
export class RecordedWeather implements WeatherSource {
  private readonly reports: readonly HourlyReport[];
  private readonly place: StationPlace;
  private cursor = 0;

  /** @throws RangeError without a report that has temperature and humidity. */
  constructor(reports: readonly HourlyReport[], place: StationPlace) {
    this.reports = filled(reports);
    this.place = place;
    if (this.reports.length === 0) {
      throw new RangeError('no report has both temperature and humidity');
    }
  }

  /** @throws RangeError outside the reports, or in a gap of more than twelve hours. */
  at(atMs: number): Weather {
    const { before, after } = this.around(atMs);
    const share =
      after.atMs === before.atMs ? 0 : (atMs - before.atMs) / (after.atMs - before.atMs);
    const between = (from: number | null, to: number | null): number =>
      (from ?? to ?? 0) + share * ((to ?? from ?? 0) - (from ?? to ?? 0));
    const celsius = between(before.celsius, after.celsius);
    const humidityPercent = clamp(between(before.humidityPercent, after.humidityPercent), 1, 100);
    const isLastHour = after.atMs - atMs <= HOUR_MS;
    const wetMm = isLastHour ? (after.precipitationMm ?? 0) / MINUTES_PER_HOUR : 0;
    const snowShare = snowShareAt(celsius);
    const cloudShare = wetMm > 0 ? WET_CLOUD_SHARE : cloudsBy(humidityPercent);
    const nearer = share < 0.5 ? before : after;
    return {
      atMs,
      celsius,
      humidityPercent,
      vapourPascals: (humidityPercent / 100) * saturationOverWaterPascals(celsius),
      windMetresPerSecond: between(before.windMetresPerSecond, after.windMetresPerSecond),
      windFromDegrees: nearer.windFromDegrees ?? 0,
      rainMm: wetMm * (1 - snowShare),
      snowMm: wetMm * snowShare,
      pressurePascals: between(before.pressurePascals, after.pressurePascals),
      cloudShare,
      skyCelsius: skyCelsiusAt(celsius, cloudShare),
      sunWattsPerSquareMetre: sunWattsAt(this.sunHeight(atMs), cloudShare),
    };
  }

  private around(atMs: number): { before: HourlyReport; after: HourlyReport } {
    const { reports } = this;
    if ((reports[this.cursor]?.atMs ?? Infinity) > atMs) this.cursor = 0;
    while ((reports[this.cursor + 1]?.atMs ?? Infinity) <= atMs) this.cursor += 1;
    const before = reports[this.cursor];
    const after = reports[this.cursor + 1] ?? before;
    const isOutside = before === undefined || after === undefined || before.atMs > atMs;
    const isPast = after !== undefined && after === before && atMs > after.atMs;
    if (isOutside || isPast || after.atMs - before.atMs > LONGEST_GAP_MS) {
      throw new RangeError(`no weather is recorded for ${new Date(atMs).toISOString()}`);
    }
    return { before, after };
  }

  private sunHeight(atMs: number): number {
    const { latitudeDegrees, longitudeDegrees } = this.place;
    const dayOfYear = (atMs / MS_PER_DAY) % DAYS_PER_YEAR;
    return sineOfSunHeight(
      { dayOfYear, solarHour: solarHour(atMs, longitudeDegrees) },
      latitudeDegrees,
    );
  }
}

function cloudsBy(humidityPercent: number): number {
  const share = (humidityPercent - CLEAR_AT_PERCENT) / (OVERCAST_AT_PERCENT - CLEAR_AT_PERCENT);
  return clamp(share, 0.05, 0.95);
}

/** Reports with temperature and humidity; what else is missing is carried on from the last. */
function filled(reports: readonly HourlyReport[]): readonly HourlyReport[] {
  const kept: HourlyReport[] = [];
  for (const report of reports) {
    if (report.celsius === null || report.humidityPercent === null) continue;
    const last = kept.at(-1);
    kept.push({
      ...report,
      windFromDegrees: report.windFromDegrees ?? last?.windFromDegrees ?? 0,
      windMetresPerSecond: report.windMetresPerSecond ?? last?.windMetresPerSecond ?? 0,
      pressurePascals: report.pressurePascals ?? last?.pressurePascals ?? STANDARD_PASCALS,
    });
  }
  return kept;
}
