import { type ChannelName, WEATHER_UNIT } from '@lineside/readings';
import type { SiteWeather, WeatherQuarter, WeatherSpan } from '@lineside/review';
import type { QuarterSeries, TelemetryStore } from '@lineside/storage';

const CHANNELS: readonly ChannelName[] = ['rain', 'snow', 'wind', 't'];

type Writable<T> = { -readonly [Name in keyof T]: T[Name] };

/** Weather of outdoor stations by the quarter of an hour; sites without one are left out. */
export async function readWeather(
  telemetry: Pick<TelemetryStore, 'quarters'>,
  spans: readonly WeatherSpan[],
): Promise<readonly SiteWeather[]> {
  const series = await telemetry.quarters(
    spans.map((span) => ({ ...span, unit: WEATHER_UNIT, channels: CHANNELS })),
  );
  const sites = new Map<string, Map<number, Writable<WeatherQuarter>>>();
  for (const one of series) {
    const quarters = sites.get(one.site) ?? new Map<number, Writable<WeatherQuarter>>();
    sites.set(one.site, quarters);
    for (const [place, startMs] of one.startMs.entries()) {
      const quarter = quarters.get(startMs) ?? emptyQuarter(startMs);
      quarters.set(startMs, quarter);
      fill(quarter, one, place);
    }
  }
  return [...sites].map(([site, quarters]) => ({
    site,
    quarters: [...quarters.values()].sort((one, other) => one.startMs - other.startMs),
  }));
}

function emptyQuarter(startMs: number): Writable<WeatherQuarter> {
  return {
    startMs,
    rainMillimetres: null,
    snowMillimetres: null,
    windMetresPerSecond: null,
    lowestCelsius: null,
    highestCelsius: null,
  };
}

/** Rain and snow are reported as what fell since the last report: they add up. */
function fill(quarter: Writable<WeatherQuarter>, series: QuarterSeries, place: number): void {
  const { channel, min, max, sum } = series;
  if (channel === 'rain') quarter.rainMillimetres = sum[place] ?? null;
  if (channel === 'snow') quarter.snowMillimetres = sum[place] ?? null;
  if (channel === 'wind') quarter.windMetresPerSecond = max[place] ?? null;
  if (channel === 't') {
    quarter.lowestCelsius = min[place] ?? null;
    quarter.highestCelsius = max[place] ?? null;
  }
}
