import { isDeepStrictEqual } from 'node:util';
import { type Alarm, retainedPayload } from '@lineside/alarms';
import type { WettingEpisode } from '@lineside/anomaly';
import type { Fleet, Unit } from '@lineside/fleet';
import { alarmWithNeighbours, type JudgedHistory, judgeHistory, phasesOf } from '@lineside/judging';
import { alarmTopic, WEATHER_UNIT } from '@lineside/readings';
import type { RecordDisk } from '../in-memory/record-disk.ts';
import type { TelemetryDisk } from '../in-memory/telemetry-disk.ts';

/** Later than any event. */
const END_MS = Date.UTC(10_000, 0, 1);

export interface Disks {
  readonly telemetry: TelemetryDisk;
  readonly records: RecordDisk;
}

/** Where alarms and episodes are not what the stored data give when they are judged in order. */
export function divergences(fleet: Fleet, disks: Disks): readonly string[] {
  const judged = fleet.units.map((unit) => ({ unit, ...judgedInOrder(unit, disks) }));
  return judged.flatMap(({ unit, alarms, episodes, state }) => {
    const others = judged.flatMap((other) =>
      other.unit !== unit && other.unit.site === unit.site ? [other.state.watch.power] : [],
    );
    const besideOthers = alarms.map((alarm) =>
      alarmWithNeighbours(alarm, state.watch.power, others, null),
    );
    return unitDivergences(unit, disks, besideOthers, episodes);
  });
}

function judgedInOrder(unit: Unit, { telemetry, records }: Disks): JudgedHistory {
  const { site, id } = unit;
  const readings = telemetry.readings(site, id, 0, END_MS, Infinity);
  const weather = telemetry.readings(site, WEATHER_UNIT, 0, END_MS, Infinity);
  const services = [...records.services.values()]
    .filter((one) => one.site === site && one.unit === id)
    .map(({ atMs, action, body }) => ({ atMs, action, phases: phasesOf(body['phases']) }));
  return judgeHistory({ unit, readings, weather, services });
}

function unitDivergences(
  { site, id }: Unit,
  { records }: Disks,
  alarms: readonly Alarm[],
  judgedEpisodes: readonly WettingEpisode[],
): readonly string[] {
  const stored = [...records.alarms.values()]
    .filter((alarm) => alarm.site === site && alarm.unit === id && !alarm.withdrawn)
    .filter(({ kind, evidence }) => kind !== 'silent' && !('refusedReadings' in evidence));
  const episodes = [...records.episodes.values()]
    .filter((one) => one.site === site && one.unit === id)
    .map(({ episode }) => episode)
    .sort((one, other) => one.startMs - other.startMs);
  return [
    ...differences(`${site}/${id} alarms`, alarms.map(words), stored.map(words)),
    ...differences(
      `${site}/${id} episodes`,
      judgedEpisodes.map((one) => JSON.stringify(one)),
      episodes.map((one) => JSON.stringify(one)),
    ),
  ];
}

/** What of an alarm the data decide. */
function words({ kind, raisedAtMs, clearedAtMs, priorities }: Alarm): string {
  const steps = priorities.map(({ priority, sinceMs }) => `${priority} ${timeWords(sinceMs)}`);
  const cleared = clearedAtMs === null ? 'stands' : `to ${timeWords(clearedAtMs)}`;
  return `${kind} ${timeWords(raisedAtMs)} ${cleared}, ${steps.join(', ')}`;
}

function timeWords(atMs: number): string {
  return new Date(atMs).toISOString().slice(5, 19);
}

function differences(
  what: string,
  expected: readonly string[],
  actual: readonly string[],
): readonly string[] {
  const wanted = [...expected].sort();
  const found = [...actual].sort();
  if (isDeepStrictEqual(wanted, found)) return [];
  const missing = wanted.filter((one) => !found.includes(one));
  const extra = found.filter((one) => !wanted.includes(one));
  const twice = found.filter((one, index) => found.indexOf(one) !== index);
  return [
    ...missing.map((one) => `${what}: missing ${one}`),
    ...extra.map((one) => `${what}: not in the data ${one}`),
    ...twice.map((one) => `${what}: twice ${one}`),
  ];
}

/** Where retained topics do not show the newest alarm of their kind. */
export function wrongTopics(
  records: RecordDisk,
  retained: ReadonlyMap<string, string>,
): readonly string[] {
  const newest = new Map<string, Alarm>();
  for (const alarm of records.alarms.values()) {
    const topic = alarmTopic(alarm.site, alarm.unit, alarm.kind);
    const isNewer = (newest.get(topic)?.raisedAtMs ?? -Infinity) <= alarm.raisedAtMs;
    if (!alarm.withdrawn && isNewer) newest.set(topic, alarm);
  }
  const expected = new Map<string, string>();
  for (const [topic, alarm] of newest) {
    const payload = retainedPayload(alarm);
    if (payload !== '') expected.set(topic, payload);
  }
  const topics = new Set([...expected.keys(), ...retained.keys()]);
  return [...topics]
    .filter((topic) => expected.get(topic) !== retained.get(topic))
    .map((topic) => {
      const alarm = newest.get(topic);
      const shouldBe = alarm === undefined ? 'no alarm' : `${alarm.state} ${alarm.revision}`;
      return `${topic}: shows ${stateIn(retained.get(topic))}, should show ${shouldBe}`;
    });
}

function stateIn(payload: string | undefined): string {
  if (payload === undefined) return 'nothing';
  const { state, raised } = JSON.parse(payload) as { state: string; raised: string };
  return `${state} of ${raised}`;
}
