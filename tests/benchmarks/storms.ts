/** What the review of a storm over a whole fleet costs at the server. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Alarm } from '@lineside/alarms';
import { applyFleet, parseFleetFile, toFleet } from '@lineside/fleet';
import { type Reading, WEATHER_UNIT } from '@lineside/readings';
import {
  openRecordStore,
  openTelemetryStore,
  type RecordStore,
  type StoredEpisode,
  type TelemetryStore,
} from '@lineside/storage';
import { benchApi, ROUNDS, timeRequests } from './bench-api.ts';
import { fleetText, UNIT_NAMES } from './bench-fleet.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;
const STORM_HOURS = 72;
const STORM_MINUTES = STORM_HOURS * 60;
const BATCH_MINUTES = 20;
/** A Tuesday; the storm does not cross from one file of a week into the next. */
const START_MS = Date.UTC(2026, 0, 6);
export const STORM_START_MS: number = START_MS;
export const STORM_END_MS: number = START_MS + STORM_HOURS * HOUR_MS;
const SITES = [...new Set(UNIT_NAMES.map(({ site }) => site))];
/** Every third unit raises an alarm. */
const ALARM_EVERY = 3;
/** Nights of dew of every unit before, so that habits are looked at as in a year of service. */
const NIGHTS_BEFORE = 28;

/** `npm run bench -- storms` */
export async function benchStorms(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'lineside-bench-'));
  const telemetry = await openTelemetryStore({ folder: join(folder, 'telemetry') });
  const records = await openRecordStore({ file: join(folder, 'records.db') });
  await fillStorm(telemetry);
  const { api, token } = await stormApi(telemetry, records);
  const headers = { authorization: `Bearer ${token}` };
  const list = await api.inject({ method: 'GET', url: '/api/storms', headers });
  const [storm, ...others] = list.json().items;
  if (storm === undefined || others.length > 0) throw new Error('there should be one storm');
  console.log(
    `\nstorm ${storm.id}: ${storm.touchedUnits} units, ${storm.start} to ${storm.end}` +
      `\nmedian of ${ROUNDS} requests (goal 1,000 ms for one storm)`,
  );
  const one = `/api/storms/${storm.id}`;
  await timeRequests(api, token, 'one storm', one);
  await timeRequests(api, token, 'one storm as CSV', `${one}.csv`);
  await timeRequests(api, token, 'list of storms', '/api/storms');
  await api.close();
  await telemetry.close();
  await records.close();
  rmSync(folder, { recursive: true });
}

/** The API over the storm's records, and over readings that are the storm's. */
export async function stormApi(
  telemetry: TelemetryStore,
  records: RecordStore,
): Promise<Awaited<ReturnType<typeof benchApi>>> {
  const fleet = toFleet(applyFleet(null, parseFleetFile(fleetText(), 'bench-fleet.yaml')));
  await fillRecords(records);
  const [first] = UNIT_NAMES;
  if (first === undefined) throw new Error('the fleet of the benchmark has no unit');
  const latest = reading(first, 0, 0);
  return benchApi({ telemetry, records, fleet, latest, nowMs: STORM_END_MS + 2 * DAY_MS });
}

type UnitName = (typeof UNIT_NAMES)[number];

/** Readings of three days of the whole fleet, a minute apart. */
export async function fillStorm(telemetry: TelemetryStore): Promise<void> {
  const startedAt = performance.now();
  for (let minute = 0; minute < STORM_MINUTES; minute += BATCH_MINUTES) {
    const batch: Reading[] = [];
    for (let within = 0; within < BATCH_MINUTES; within++) {
      for (const [place, unit] of UNIT_NAMES.entries()) {
        batch.push(reading(unit, place, minute + within));
      }
      for (const site of SITES) batch.push(weather(site, minute + within));
    }
    await telemetry.append(batch);
  }
  const count = STORM_MINUTES * UNIT_NAMES.length;
  const perSecond = count / ((performance.now() - startedAt) / 1000);
  console.log(`\nstored ${count} readings of five channels, ${perSecond.toFixed(0)} readings/s`);
}

function reading({ site, unit }: UnitName, place: number, minute: number): Reading {
  const wave = Math.sin(minute / 311 + place);
  const leak = 0.0015 + 0.004 * Math.max(0, wave);
  const atMs = START_MS + minute * MINUTE_MS;
  const channels = { rh: 80 + 15 * wave, t: 4 + wave, leak, leakmax: leak * 1.4, ia: 12 + wave };
  return { site, unit, atMs, channels };
}

function weather(site: string, minute: number): Reading {
  const wave = Math.sin(minute / 311);
  const channels = { rain: 0.01 * Math.max(0, wave), wind: 8 + 5 * wave, t: 4 + wave };
  return { site, unit: WEATHER_UNIT, atMs: START_MS + minute * MINUTE_MS, channels };
}

async function fillRecords(records: RecordStore): Promise<void> {
  const episodes = UNIT_NAMES.flatMap((unit, place) => [
    ...Array.from({ length: NIGHTS_BEFORE }, (_, night) =>
      wetting(unit, START_MS - (night + 1) * DAY_MS, 'humid-weather', 6),
    ),
    wetting(unit, START_MS + (place % 60) * HOUR_MS, 'water-ingress', 8),
    wetting(unit, START_MS + (place % 60) * HOUR_MS + 9 * HOUR_MS, 'condensation', 3),
  ]);
  const raised = UNIT_NAMES.filter((_, place) => place % ALARM_EVERY === 0).map(leakageAlarm);
  await records.commitJudgement({
    checkpoints: [],
    episodes,
    alarms: raised.map((alarm) => ({
      entry: {
        atMs: alarm.raisedAtMs,
        event: 'raise',
        from: null,
        to: alarm.state,
        by: 'watch',
        note: null,
        alarm,
      },
    })),
  });
  console.log(`${episodes.length} wettings and ${raised.length} alarms`);
}

function wetting(
  unit: UnitName,
  startMs: number,
  source: StoredEpisode['episode']['source'],
  hours: number,
): StoredEpisode {
  const evidence = { sourceProbability: 0.9, highestRelativeHumidityPercent: 97 };
  const endMs = startMs + hours * HOUR_MS;
  const peakMs = startMs + HOUR_MS;
  return { ...unit, episode: { startMs, peakMs, endMs, source, wetHours: hours - 1, evidence } };
}

function leakageAlarm({ site, unit }: UnitName, place: number): Alarm {
  const raisedAtMs = START_MS + (place % 60) * HOUR_MS + 2 * HOUR_MS;
  const causes = [
    { cause: 'line-side-track-to-ground', probability: 0.8, because: ['it rises when wet'] },
  ] as const;
  return {
    id: `storm-${site}-${unit}`,
    site,
    unit,
    kind: 'leakage',
    priority: 'urgent',
    state: 'unacknowledged',
    standing: true,
    raisedAtMs,
    clearedAtMs: null,
    acknowledgedAtMs: null,
    acknowledgedBy: null,
    shelvedUntilMs: null,
    shelvedBy: null,
    shelveReason: null,
    priorities: [{ priority: 'urgent', sinceMs: raisedAtMs, causes }],
    headline: 'Leakage to ground 14 mA, rising, line side',
    evidence: { leakageMilliamps: 14 },
    causes,
    withdrawn: false,
    revision: 1,
  };
}
