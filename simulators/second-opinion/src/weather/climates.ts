/** What a place's weather is drawn from. */
export interface PlainClimate {
  readonly meanCelsius: number;
  /** Half of what the year's daily means span. */
  readonly yearKelvin: number;
  /** Half of what a clear day spans. */
  readonly dayKelvin: number;
  /** Deviation of air masses from the season. */
  readonly airMassKelvin: number;
  /** Of the daily mean temperature over the dew point. */
  readonly depressionKelvin: number;
  readonly depressionSpreadKelvin: number;
  /** Above 0 more cloud, below less. */
  readonly cloudiness: number;
  readonly wetSpellsPerDay: number;
  readonly wetSpellHours: number;
  readonly rainMillimetresPerHour: number;
  readonly windMetresPerSecond: number;
  /** Share of wet spells that are storms. */
  readonly stormShare: number;
}

export type PlainClimateName = 'cold-lake' | 'wet-shore' | 'dry-mesa' | 'hot-gulf';

export const PLAIN_CLIMATES: Readonly<Record<PlainClimateName, PlainClimate>> = {
  'cold-lake': {
    meanCelsius: 7,
    yearKelvin: 13,
    dayKelvin: 5,
    airMassKelvin: 4.5,
    depressionKelvin: 4,
    depressionSpreadKelvin: 2.5,
    cloudiness: 0.4,
    wetSpellsPerDay: 0.45,
    wetSpellHours: 5,
    rainMillimetresPerHour: 1.1,
    windMetresPerSecond: 4.5,
    stormShare: 0.2,
  },
  'wet-shore': {
    meanCelsius: 10,
    yearKelvin: 7,
    dayKelvin: 3,
    airMassKelvin: 2.5,
    depressionKelvin: 2.5,
    depressionSpreadKelvin: 1.5,
    cloudiness: 0.8,
    wetSpellsPerDay: 0.7,
    wetSpellHours: 7,
    rainMillimetresPerHour: 1.3,
    windMetresPerSecond: 6,
    stormShare: 0.25,
  },
  'dry-mesa': {
    meanCelsius: 12,
    yearKelvin: 12,
    dayKelvin: 8,
    airMassKelvin: 3.5,
    depressionKelvin: 11,
    depressionSpreadKelvin: 4,
    cloudiness: -1,
    wetSpellsPerDay: 0.15,
    wetSpellHours: 3,
    rainMillimetresPerHour: 1.5,
    windMetresPerSecond: 4,
    stormShare: 0.3,
  },
  'hot-gulf': {
    meanCelsius: 21,
    yearKelvin: 8,
    dayKelvin: 5,
    airMassKelvin: 2.5,
    depressionKelvin: 4,
    depressionSpreadKelvin: 2,
    cloudiness: 0,
    wetSpellsPerDay: 0.5,
    wetSpellHours: 2.5,
    rainMillimetresPerHour: 3.5,
    windMetresPerSecond: 4,
    stormShare: 0.25,
  },
};

export const PLAIN_CLIMATE_NAMES: readonly PlainClimateName[] = [
  'cold-lake',
  'wet-shore',
  'dry-mesa',
  'hot-gulf',
];
