/** Invented fleets and storms for the tests of this package. */
import type { Alarm } from '@lineside/alarms';
import type { Priority, WettingSource } from '@lineside/anomaly';
import type { ReviewUnit, StormSearch, UnitEpisode, WeatherQuarter } from '../src/index.ts';
import { findStorms } from '../src/index.ts';

export const HOUR_MS = 3_600_000;
export const DAY_MS = 24 * HOUR_MS;
/** A Tuesday. */
export const START_MS = Date.UTC(2026, 0, 13, 4);

export const SITES = [
  { id: 'harbour', name: 'Harbour Mall', latitudeDegrees: 44.65, longitudeDegrees: -63.57 },
  { id: 'quay', name: 'Quay Works', latitudeDegrees: 44.7, longitudeDegrees: -63.6 },
  { id: 'far', name: 'Far Depot', latitudeDegrees: 46.2, longitudeDegrees: -60 },
];

export const UNITS = SITES.flatMap(({ id }) =>
  Array.from({ length: 8 }, (_, index) => ({ site: id, unit: `rtu-${index + 1}` })),
);

export interface EpisodeWords {
  readonly source?: WettingSource;
  readonly hours?: number | null;
  readonly wetHours?: number;
}

export function episode(
  site: string,
  unit: string,
  startMs: number,
  { source = 'water-ingress', hours = 6, wetHours = 4 }: EpisodeWords = {},
): UnitEpisode {
  const endMs = hours === null ? null : startMs + hours * HOUR_MS;
  const peakMs = startMs + HOUR_MS;
  const evidence = { sourceProbability: 0.9 };
  return { site, unit, episode: { startMs, peakMs, endMs, source, wetHours, evidence } };
}

export function alarm(
  site: string,
  unit: string,
  raisedAtMs: number,
  more: Partial<Alarm> = {},
): Alarm {
  const kind = more.kind ?? 'leakage';
  const priority: Priority = more.priority ?? 'urgent';
  const causes = more.causes ?? [
    { cause: 'line-side-track-to-ground', probability: 0.8, because: ['it rises when wet'] },
  ];
  return {
    id: `${site}-${unit}-${kind}-${raisedAtMs}`,
    site,
    unit,
    kind,
    priority,
    state: 'unacknowledged',
    standing: true,
    raisedAtMs,
    clearedAtMs: null,
    acknowledgedAtMs: null,
    acknowledgedBy: null,
    shelvedUntilMs: null,
    shelvedBy: null,
    shelveReason: null,
    priorities: [{ priority, sinceMs: raisedAtMs, causes }],
    headline: `Leakage to ground in ${unit}`,
    evidence: {},
    causes,
    withdrawn: false,
    revision: 1,
    ...more,
  };
}

export function search(more: Partial<StormSearch>): StormSearch {
  return {
    sites: SITES,
    units: UNITS,
    episodes: [],
    alarms: [],
    weather: [],
    fromMs: START_MS - 30 * DAY_MS,
    toMs: START_MS + 30 * DAY_MS,
    asOfMs: START_MS + 20 * DAY_MS,
    ...more,
  };
}

/** The only storm of a search. */
export function onlyStorm(more: Partial<StormSearch>) {
  const storms = findStorms(search(more));
  if (storms.length !== 1 || storms[0] === undefined) throw new Error(`${storms.length} storms`);
  return storms[0];
}

/** Dry, calm and mild quarters, changed by `change` where it says so. */
export function quarters(
  fromMs: number,
  hours: number,
  change: (startMs: number) => Partial<WeatherQuarter> = () => ({}),
): WeatherQuarter[] {
  return Array.from({ length: hours * 4 }, (_, index) => {
    const startMs = fromMs + (index * HOUR_MS) / 4;
    return {
      startMs,
      rainMillimetres: 0,
      snowMillimetres: 0,
      windMetresPerSecond: 3,
      lowestCelsius: 6,
      highestCelsius: 8,
      ...change(startMs),
    };
  });
}

export function reviewUnit(site: string, unit: string): ReviewUnit {
  return {
    site,
    unit,
    name: unit.toUpperCase(),
    access: null,
    plate: {
      fuses: { class: 'J', amps: 60 },
      contactors: [{ name: 'C1', load: 'compressor 1', poles: 3, flaAmps: 18 }],
      supply: {
        volts: 480,
        hertz: 60,
        grounding: 'solid-wye',
        groundingAssumed: false,
        mcaAmps: null,
        mopAmps: null,
      },
      drive: false,
    },
    learnedDryMilliamps: 1,
  };
}
