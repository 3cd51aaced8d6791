import type { Alarm } from '@lineside/alarms';
import type { AlarmQuery, AlarmRecords } from '@lineside/storage';
import { badInput, checkLimit, isBefore, pageOf } from './port-rules.ts';
import type { RecordDisk } from './record-disk.ts';
import type { Synchronous } from './store-lane.ts';

export function memoryAlarms(disk: RecordDisk): Synchronous<AlarmRecords> {
  return {
    alarm: (id) => disk.alarms.get(id) ?? null,
    alarms: (query) => {
      const { state } = query;
      if (state !== undefined && state !== 'standing' && state !== 'open') {
        throw badInput(`state must be standing or open, it is ${state}`);
      }
      const found = [...disk.alarms.values()].filter((alarm) => fits(alarm, query));
      return pageOf('alarms', query, found, placeOf);
    },
    newestAlarms: ({ site, unit }) => {
      const ofUnit = [...disk.alarms.values()].filter(
        (alarm) => alarm.site === site && alarm.unit === unit && !alarm.withdrawn,
      );
      return newestOfKinds(ofUnit).sort((one, other) => (one.kind < other.kind ? -1 : 1));
    },
    openAlarms: () => {
      const all = [...disk.alarms.values()];
      const newest = new Set(newestOfKinds(all.filter(({ withdrawn }) => !withdrawn)));
      return all
        .filter((alarm) => alarm.state !== 'normal' || newest.has(alarm))
        .sort((one, other) => (isBefore(placeOf(one), placeOf(other)) ? 1 : -1));
    },
    alarmsSince: ({ site, unit }, sinceMs) =>
      [...disk.alarms.values()]
        .filter((alarm) => alarm.site === site && alarm.unit === unit && !alarm.withdrawn)
        .filter(({ clearedAtMs }) => clearedAtMs === null || clearedAtMs >= sinceMs)
        .sort((one, other) => (isBefore(placeOf(one), placeOf(other)) ? -1 : 1)),
    changeAlarms: (changes) => disk.changeAlarms(changes),
    journalAfter: (sequence, limit) => {
      if (!Number.isSafeInteger(sequence) || sequence < 0) {
        throw badInput(`sequence must be a whole number from 0 on, it is ${sequence}`);
      }
      checkLimit(limit);
      return disk.journal.slice(sequence, sequence + limit);
    },
    journalEnd: () => disk.journal.length,
    journalOf: (alarmId) => disk.journal.filter(({ alarm }) => alarm.id === alarmId),
  };
}

function placeOf({ raisedAtMs, id }: Alarm): { readonly key: number; readonly id: string } {
  return { key: raisedAtMs, id };
}

function fits(alarm: Alarm, query: AlarmQuery): boolean {
  const { state, sites, unit, kind, fromMs, toMs, withdrawn = false } = query;
  return (
    (state !== 'standing' || alarm.standing) &&
    (state !== 'open' || alarm.state !== 'normal') &&
    (sites === undefined || sites.includes(alarm.site)) &&
    (unit === undefined || alarm.unit === unit) &&
    (kind === undefined || alarm.kind === kind) &&
    (withdrawn || !alarm.withdrawn) &&
    (toMs === undefined || alarm.raisedAtMs < toMs) &&
    (fromMs === undefined || alarm.clearedAtMs === null || alarm.clearedAtMs > fromMs)
  );
}

/** The newest alarm of each kind of each unit. */
function newestOfKinds(alarms: readonly Alarm[]): Alarm[] {
  const newest = new Map<string, Alarm>();
  for (const alarm of alarms) {
    const key = `${alarm.site}/${alarm.unit}/${alarm.kind}`;
    const other = newest.get(key);
    if (other === undefined || isBefore(placeOf(other), placeOf(alarm))) newest.set(key, alarm);
  }
  return [...newest.values()];
}
