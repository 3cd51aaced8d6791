import { applyFleet, type Fleet, parseFleetFile, toFleet } from '@lineside/fleet';
import type { ChannelValues } from '@lineside/readings';
import {
  CLIMATES,
  type ClimateName,
  createWorld,
  type Fault,
  healthyScript,
  type Scenario,
  type Storm,
  type UnitScript,
  type UnitTruth,
  type World,
} from '../src/index.ts';
import type { Weather } from '../src/world/weather.ts';

export const MINUTE_MS = 60_000;
export const HOUR_MS = 60 * MINUTE_MS;
export const DAY_MS = 24 * HOUR_MS;
export const START_MS: number = Date.UTC(2026, 0, 5);

export interface SmallWorldOptions {
  readonly faults?: readonly Fault[];
  readonly script?: Partial<UnitScript>;
  readonly climate?: ClimateName;
  readonly storms?: readonly Storm[];
  readonly days?: number;
  readonly seed?: number;
  /** YAML of the unit's fields beside its id, indented by ten spaces. */
  readonly unitYaml?: string;
  /** In place of the fleet of one unit. */
  readonly fleet?: Fleet;
  readonly siteEvents?: Scenario['siteEvents'];
  readonly transformers?: Scenario['transformers'];
  /** Scripts of the fleet's units, in place of `faults` and `script`. */
  readonly units?: readonly (Partial<UnitScript> & { readonly unit: string })[];
}

const UNIT_YAML = `
          supply: { volts: 480, hertz: 60, grounding: solid-wye }
          contactors:
            - { name: C1, load: compressor 1, poles: 3, fla: 18 }
            - { name: C2, load: fans, poles: 3, fla: 5 }
          node: { supply: battery }`;

export function fleetOf(yaml: string): Fleet {
  return toFleet(applyFleet(null, parseFleetFile(yaml, 'test.yaml')));
}

/** A world with one site and one unit, `test-site/rtu-01`. */
export function smallWorld(options: SmallWorldOptions = {}): World {
  const days = options.days ?? 5;
  const fleet =
    options.fleet ??
    fleetOf(`sites:
    - id: test-site
      latitude: 44
      longitude: -63
      units:
        - id: rtu-01${options.unitYaml ?? UNIT_YAML}
`);
  const scenario: Scenario = {
    nowMs: START_MS + days * DAY_MS,
    startMs: START_MS,
    seasonDayAtNow: 25,
    climates: { 'test-site': CLIMATES[options.climate ?? 'rainy-valley'] },
    storms: options.storms ?? [],
    ...(options.siteEvents === undefined ? {} : { siteEvents: options.siteEvents }),
    ...(options.transformers === undefined ? {} : { transformers: options.transformers }),
    units: options.units?.map((script) => ({
      ...healthyScript('test-site', script.unit),
      ...script,
    })) ?? [
      {
        ...healthyScript('test-site', 'rtu-01'),
        ...(options.faults === undefined ? {} : { faults: options.faults }),
        ...options.script,
      },
    ],
  };
  return createWorld({ seed: options.seed ?? 1, fleet, scenario, startMs: START_MS });
}

export interface Minute {
  readonly atMs: number;
  readonly channels: ChannelValues | null;
  readonly truth: UnitTruth;
  readonly weather: Weather;
}

/** Steps a unit minute by minute. */
export function* minutesOf(
  world: World,
  days: number,
  site = 'test-site',
  unit = 'rtu-01',
): Generator<Minute> {
  const stepped = world.unit(site, unit);
  const sky = world.site(site);
  const endMs = world.startMs + days * DAY_MS;
  for (let atMs = world.startMs + MINUTE_MS; atMs <= endMs; atMs += MINUTE_MS) {
    const reading = stepped.step(atMs);
    yield {
      atMs,
      channels: reading === null ? null : reading.channels,
      truth: stepped.truth(),
      weather: sky.at(atMs),
    };
  }
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((left, right) => left - right);
  return sorted[Math.floor(sorted.length / 2)]!;
}

/** A track with everything set, for tests that change one thing. */
export const TRACK = {
  kind: 'track-to-ground',
  phase: 'c',
  depositMicrosiemens: 14,
  wettingPointPercent: 62,
  carbonAtStart: 0,
  carbonPerKilojoule: 0.0003,
  flashOvers: [],
} as const satisfies Fault;
