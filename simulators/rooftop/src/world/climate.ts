import type { FrontHabit } from './fronts.ts';

/** The weather that a site has over a year. Figures are plausible, of no particular place. */
export interface Climate {
  readonly yearMeanCelsius: number;
  /** Half of the difference between the warmest and the coldest month, K. */
  readonly seasonKelvin: number;
  /** Half of the difference between afternoon and dawn on a clear day, K. */
  readonly dayKelvin: number;
  /** Standard deviation of what fronts add, K. */
  readonly frontKelvin: number;
  /** Mean distance between air temperature and dew point, K. */
  readonly dewPointDepressionKelvin: number;
  /** Standard deviation of that distance, K. */
  readonly dewPointSpreadKelvin: number;
  /** Mean cloud cover, 0 to 1. */
  readonly cloudShare: number;
  /** Share of the time with rain or snow, 0 to 0.5. */
  readonly wetShare: number;
  /** How much of that falls in one season: 1 all in summer, -1 all in winter, 0 evenly. */
  readonly wetSeason?: number;
  readonly wetMmPerHour: number;
  readonly windMetresPerSecond: number;
  readonly windFromDegrees: number;
  readonly pressurePascals: number;
  /** Fronts that change everything at once; absent: everything wanders on its own. */
  readonly fronts?: FrontHabit;
  readonly monsoon?: Monsoon;
}

/** Damp air and showers at the height of summer. */
export interface Monsoon {
  /** How much nearer to its dew point the air is, K. */
  readonly damperKelvin: number;
  /** How often it rains, in multiples of the climate's share; the share must stay below 0.5. */
  readonly wetFactor: number;
}

/** One part of a scheduled storm, which takes over from the ordinary weather. */
export interface StormStage {
  readonly fromMs: number;
  readonly toMs: number;
  readonly celsius: number;
  readonly dewPointDepressionKelvin: number;
  readonly windMetresPerSecond: number;
  readonly windFromDegrees: number;
  /** Rain or snow by temperature, mm of water. */
  readonly wetMmPerHour: number;
}

export const CLIMATE_NAMES = [
  'windy-harbour',
  'humid-coast',
  'high-plain',
  'rainy-valley',
  'salt-shore',
  'dry-basin',
  'snow-ridge',
  'deep-winter',
  'steam-delta',
] as const;
export type ClimateName = (typeof CLIMATE_NAMES)[number];

export const CLIMATES: Readonly<Record<ClimateName, Climate>> = {
  'windy-harbour': {
    yearMeanCelsius: 6.5,
    seasonKelvin: 10.5,
    dayKelvin: 3,
    frontKelvin: 3.4,
    dewPointDepressionKelvin: 3.6,
    dewPointSpreadKelvin: 1.9,
    cloudShare: 0.62,
    wetShare: 0.12,
    wetMmPerHour: 0.9,
    windMetresPerSecond: 6.5,
    windFromDegrees: 290,
    pressurePascals: 101_100,
  },
  'humid-coast': {
    yearMeanCelsius: 20,
    seasonKelvin: 8,
    dayKelvin: 4.6,
    frontKelvin: 4,
    dewPointDepressionKelvin: 4,
    dewPointSpreadKelvin: 2.4,
    cloudShare: 0.45,
    wetShare: 0.07,
    wetMmPerHour: 2.6,
    windMetresPerSecond: 3.4,
    windFromDegrees: 140,
    pressurePascals: 101_600,
  },
  'high-plain': {
    yearMeanCelsius: 8,
    seasonKelvin: 11,
    dayKelvin: 8,
    frontKelvin: 5,
    dewPointDepressionKelvin: 10.5,
    dewPointSpreadKelvin: 3.2,
    cloudShare: 0.3,
    wetShare: 0.03,
    wetMmPerHour: 0.8,
    windMetresPerSecond: 4.8,
    windFromDegrees: 270,
    pressurePascals: 82_500,
  },
  'rainy-valley': {
    yearMeanCelsius: 10.5,
    seasonKelvin: 7,
    dayKelvin: 3.4,
    frontKelvin: 2.4,
    dewPointDepressionKelvin: 2,
    dewPointSpreadKelvin: 1.2,
    cloudShare: 0.68,
    wetShare: 0.2,
    wetMmPerHour: 1.1,
    windMetresPerSecond: 2.1,
    windFromDegrees: 120,
    pressurePascals: 101_300,
  },
  'salt-shore': {
    yearMeanCelsius: 12,
    seasonKelvin: 5.5,
    dayKelvin: 2.4,
    frontKelvin: 1.2,
    dewPointDepressionKelvin: 2.6,
    dewPointSpreadKelvin: 1.3,
    cloudShare: 0.58,
    wetShare: 0.1,
    wetSeason: -0.6,
    wetMmPerHour: 1,
    windMetresPerSecond: 7.5,
    windFromDegrees: 240,
    pressurePascals: 101_500,
    fronts: {
      everyHours: 72,
      dropKelvin: 6,
      dryingKelvin: 2,
      wetMm: 5,
      winterShare: 0.4,
    },
  },
  'dry-basin': {
    yearMeanCelsius: 21,
    seasonKelvin: 10,
    dayKelvin: 9,
    frontKelvin: 2,
    dewPointDepressionKelvin: 17,
    dewPointSpreadKelvin: 4.5,
    cloudShare: 0.2,
    wetShare: 0.003,
    wetMmPerHour: 2.5,
    windMetresPerSecond: 3.2,
    windFromDegrees: 200,
    pressurePascals: 96_500,
    fronts: {
      everyHours: 140,
      dropKelvin: 7,
      dryingKelvin: 4,
      wetMm: 2,
      winterShare: 0.95,
    },
    monsoon: { damperKelvin: 7, wetFactor: 14 },
  },
  'snow-ridge': {
    yearMeanCelsius: 2,
    seasonKelvin: 9,
    dayKelvin: 4.5,
    frontKelvin: 2.5,
    dewPointDepressionKelvin: 4.2,
    dewPointSpreadKelvin: 2,
    cloudShare: 0.55,
    wetShare: 0.16,
    wetSeason: -0.5,
    wetMmPerHour: 1.2,
    windMetresPerSecond: 6,
    windFromDegrees: 300,
    pressurePascals: 79_000,
    fronts: {
      everyHours: 84,
      dropKelvin: 9,
      dryingKelvin: 3,
      wetMm: 8,
      winterShare: 0.4,
    },
  },
  'deep-winter': {
    yearMeanCelsius: 3,
    seasonKelvin: 19,
    dayKelvin: 5.5,
    frontKelvin: 3.5,
    dewPointDepressionKelvin: 5,
    dewPointSpreadKelvin: 2.2,
    cloudShare: 0.5,
    wetShare: 0.08,
    wetSeason: 0.4,
    wetMmPerHour: 0.9,
    windMetresPerSecond: 4.4,
    windFromDegrees: 310,
    pressurePascals: 98_500,
    fronts: {
      everyHours: 96,
      dropKelvin: 13,
      dryingKelvin: 3.5,
      wetMm: 5,
      winterShare: 0.5,
    },
  },
  'steam-delta': {
    yearMeanCelsius: 27,
    seasonKelvin: 2,
    dayKelvin: 3.6,
    frontKelvin: 1,
    dewPointDepressionKelvin: 3,
    dewPointSpreadKelvin: 1,
    cloudShare: 0.6,
    wetShare: 0.1,
    wetSeason: 0.6,
    wetMmPerHour: 5,
    windMetresPerSecond: 2.6,
    windFromDegrees: 90,
    pressurePascals: 101_000,
  },
};
