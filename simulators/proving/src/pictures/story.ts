import type { Alarm } from '@lineside/alarms';
import type { UnitCondition } from '@lineside/anomaly';
import { applyFleet, parseFleetFile, toFleet } from '@lineside/fleet';
import { BackTest, phasesOf } from '@lineside/judging';
import { type ChannelValues, WEATHER_UNIT } from '@lineside/readings';
import {
  CLIMATES,
  type ClimateName,
  createWorld,
  healthyScript,
  runWorld,
  type UnitRunTruth,
  type UnitScript,
} from '@lineside/rooftop';

const DAY_MS = 86_400_000;
export const STORY_START_MS: number = Date.UTC(2026, 0, 5);

export interface Told {
  readonly day: number;
  readonly channels: ChannelValues;
  /** The station's newest report. */
  readonly outside: ChannelValues;
}

/** One unit's time, as its node told it and as we judged it. */
export interface Story {
  readonly told: readonly Told[];
  readonly alarms: readonly Alarm[];
  readonly conditions: readonly { readonly day: number; readonly condition: UnitCondition }[];
  readonly truth: UnitRunTruth;
}

export interface StoryPlan {
  readonly climate: ClimateName;
  readonly days: number;
  readonly seasonDay: number;
  readonly seed: number;
  readonly script: Partial<Omit<UnitScript, 'site' | 'unit'>>;
}

export function dayOf(atMs: number): number {
  return (atMs - STORY_START_MS) / DAY_MS;
}

const UNIT = {
  id: 'rtu-01',
  supply: { volts: 480, hertz: 60, grounding: 'solid-wye' },
  contactors: [
    { name: 'C1', load: 'compressor 1', poles: 3, fla: 18 },
    { name: 'C2', load: 'fans', poles: 3, fla: 5 },
  ],
  node: { supply: 'battery' },
};
const NODE = { plateSensor: true, loadErrorPercent: 0.02, voltages: false } as const;

/** Plays one unit in the simulated world, and judges it by the back-test as it is shipped. */
export function playStory({ climate, days, seasonDay, seed, script }: StoryPlan): Story {
  const site = { id: 'roof', latitude: 44, longitude: -63, units: [UNIT] };
  const file = parseFleetFile(JSON.stringify({ sites: [site] }), 'story');
  const fleet = toFleet(applyFleet(null, file));
  const endMs = STORY_START_MS + days * DAY_MS;
  const unitScript = { ...healthyScript('roof', 'rtu-01'), node: NODE, ...script };
  const scenario = {
    nowMs: endMs,
    startMs: STORY_START_MS,
    seasonDayAtNow: seasonDay,
    climates: { roof: CLIMATES[climate] },
    storms: [],
    units: [unitScript],
  };
  const world = createWorld({ seed, fleet, scenario, startMs: STORY_START_MS });
  const told: Told[] = [];
  const alarms: Alarm[] = [];
  const conditions: { day: number; condition: UnitCondition }[] = [];
  let outside: ChannelValues = {};
  const backTest = new BackTest({
    units: world.units.map(({ unit }) => unit),
    conditionEveryMs: DAY_MS / 4,
    sink: {
      alarm: (_unit, alarm) => alarms.push(alarm),
      episode: () => undefined,
      condition: (_unit, atMs, condition) => conditions.push({ day: dayOf(atMs), condition }),
    },
  });
  runWorld(
    world,
    { everyMs: 60_000, endMs },
    {
      reading: ({ unit, atMs, channels }) => {
        told.push({ day: dayOf(atMs), channels, outside });
        backTest.reading('roof', unit, atMs, channels);
      },
      weather: ({ atMs, channels }) => {
        outside = channels;
        backTest.weather({ site: 'roof', unit: WEATHER_UNIT, atMs, channels });
      },
      service: ({ unit, atMs, line }) => {
        const event = { atMs, action: line.action, phases: phasesOf(line['phases']) };
        backTest.service('roof', unit, event);
      },
    },
  );
  backTest.end();
  return { told, alarms, conditions, truth: world.unit('roof', 'rtu-01').runTruth(endMs) };
}
