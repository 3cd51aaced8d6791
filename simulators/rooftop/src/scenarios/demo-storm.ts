import type { Storm } from '../world/scenario.ts';

const MS_PER_HOUR = 3_600_000;

/**
 * A winter storm: half a day of snow driven by a gale, three days of frost in which nothing
 * happens, then warm rain that melts what has blown in.
 */
export function winterStorm(site: string, nowMs: number): Storm {
  const at = (hoursFromNow: number): number => nowMs + hoursFromNow * MS_PER_HOUR;
  return {
    site,
    stages: [
      {
        fromMs: at(-104),
        toMs: at(-86),
        celsius: -5,
        dewPointDepressionKelvin: 1.4,
        windMetresPerSecond: 16,
        windFromDegrees: 60,
        wetMmPerHour: 1.7,
      },
      {
        fromMs: at(-86),
        toMs: at(-30),
        celsius: -8,
        dewPointDepressionKelvin: 4,
        windMetresPerSecond: 6,
        windFromDegrees: 310,
        wetMmPerHour: 0,
      },
      {
        fromMs: at(-30),
        toMs: at(-8),
        celsius: 5.5,
        dewPointDepressionKelvin: 1.6,
        windMetresPerSecond: 6,
        windFromDegrees: 190,
        wetMmPerHour: 0.25,
      },
      {
        fromMs: at(-8),
        toMs: at(60),
        celsius: 3,
        dewPointDepressionKelvin: 4,
        windMetresPerSecond: 6,
        windFromDegrees: 290,
        wetMmPerHour: 0,
      },
    ],
  };
}
