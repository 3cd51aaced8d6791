import type {
  FleetRecords,
  JudgementRecords,
  PresenceRecords,
  QuarantineRecords,
  RecordStore,
  ReplayRecords,
  ServiceRecords,
  UnitRef,
} from '@lineside/storage';
import { EPISODES_BETWEEN_MOST, QUARANTINE_MOST_ENTRIES } from '@lineside/storage';
import { memoryAlarmLife } from './memory-alarm-life.ts';
import { memoryAlarms } from './memory-alarms.ts';
import { memoryAlerting } from './memory-alerting.ts';
import { memoryCalendars } from './memory-calendars.ts';
import { memoryNodes } from './memory-nodes.ts';
import { memoryOnCall } from './memory-on-call.ts';
import { memoryPeople } from './memory-people.ts';
import { asJson, badInput, checkTimes, pageOf } from './port-rules.ts';
import { conflict, type RecordDisk, refKey } from './record-disk.ts';
import { type Disturb, overLane, StoreLane, type Synchronous } from './store-lane.ts';

const QUARANTINE_PAYLOAD_MOST_BYTES = 4_096;

export interface MemoryRecords {
  readonly store: RecordStore;
  /** Ends this handle as a crash does. */
  cut(): void;
}

/** Records in memory, for tests: simple rather than fast, with a way to disturb each call. */
export function openMemoryRecords(
  disk: RecordDisk,
  disturb?: Disturb,
  backups: Map<string, RecordDisk> = new Map(),
): MemoryRecords {
  const lane = new StoreLane(disturb);
  const methods: Synchronous<Omit<RecordStore, 'backup' | 'close'>> = {
    ...memoryFleet(disk),
    ...memoryAlarms(disk),
    ...memoryJudgements(disk),
    ...memoryReplays(disk),
    ...memoryServices(disk),
    ...memoryQuarantine(disk),
    ...memoryPresences(disk),
    ...memoryNodes(disk),
    ...memoryPeople(disk),
    ...memoryAlerting(disk),
    ...memoryOnCall(disk),
    ...memoryCalendars(disk),
    ...memoryAlarmLife(disk),
  };
  const store: RecordStore = {
    ...overLane<Omit<RecordStore, 'backup' | 'close'>>(lane, methods),
    backup: async (file) => {
      const copy = await lane.call('backup', () => disk.copy());
      // Copying takes a while, and others write meanwhile.
      for (let turn = 0; turn < 3; turn++) await lane.call('backup', () => {});
      backups.set(file, copy);
    },
    close: () => lane.close(),
  };
  return { store, cut: () => lane.cut() };
}

function memoryFleet(disk: RecordDisk): Synchronous<FleetRecords> {
  return {
    loadFleet: (): unknown => (disk.fleet === null ? null : JSON.parse(disk.fleet)),
    saveFleet: (document) => {
      disk.fleet = asJson('The fleet document', document);
    },
  };
}

function memoryJudgements(disk: RecordDisk): Synchronous<JudgementRecords> {
  return {
    commitJudgement: (judgement) => disk.commitJudgement(judgement),
    checkpoints: () =>
      [...disk.checkpoints.values()]
        .sort((one, other) => (refKey(one) < refKey(other) ? -1 : 1))
        .map(({ state, ...rest }) => ({ ...rest, state: JSON.parse(state) })),
    episodes: ({ site, unit, fromMs, toMs, ...request }) => {
      const found = [...disk.episodes.values()].filter(
        ({ episode, ...ref }) =>
          ref.site === site &&
          ref.unit === unit &&
          (toMs === undefined || episode.startMs < toMs) &&
          (fromMs === undefined || episode.endMs === null || episode.endMs > fromMs),
      );
      return pageOf('episodes', request, found, ({ episode }) => ({
        key: episode.startMs,
        id: '',
      }));
    },
    episodesBetween: ({ fromMs, toMs, sites }) =>
      [...disk.episodes.values()]
        .filter(
          ({ site, episode: { startMs } }) =>
            startMs >= fromMs && startMs < toMs && (sites?.includes(site) ?? true),
        )
        .sort((one, other) => other.episode.startMs - one.episode.startMs || byUnit(one, other))
        .slice(0, EPISODES_BETWEEN_MOST),
  };
}

function memoryReplays(disk: RecordDisk): Synchronous<ReplayRecords> {
  return {
    markDirty: (marks) => disk.markDirty(marks),
    dirtyUnits: () => [...disk.dirty.values()].sort(byUnit),
    snapshotBefore: (ref, beforeMs) => {
      const found = disk.snapshotsOf(ref).findLast(({ throughMs }) => throughMs < beforeMs);
      return found === undefined ? null : { ...found, state: JSON.parse(found.state) };
    },
    snapshotTimes: (ref) => disk.snapshotsOf(ref).map(({ throughMs }) => throughMs),
    settingsVersions: () =>
      [...disk.settings.values()]
        .sort((one, other) => byUnit(one, other) || one.fromMs - other.fromMs)
        .map((one) => ({ ...one, settings: JSON.parse(one.settings) })),
    addSettingsVersions: (versions) => {
      const saved = versions.map(({ site, unit, fromMs, settings }) => {
        checkTimes('Settings', fromMs);
        return { site, unit, fromMs, settings: asJson('Settings', settings) };
      });
      for (const one of saved) disk.settings.set(`${refKey(one)}/${one.fromMs}`, one);
    },
  };
}

function byUnit(one: UnitRef, other: UnitRef): number {
  if (refKey(one) === refKey(other)) return 0;
  return refKey(one) < refKey(other) ? -1 : 1;
}

function memoryServices(disk: RecordDisk): Synchronous<ServiceRecords> {
  const ofUnit = (site: string, unit: string) =>
    [...disk.services.values()].filter((one) => one.site === site && one.unit === unit);
  return {
    addServiceRecord: (record) => {
      checkTimes('A service record', record.atMs, record.recordedAtMs);
      if (disk.services.has(record.id)) throw conflict(`service record ${record.id} is there`);
      disk.services.set(record.id, { ...record, body: JSON.parse(asJson('body', record.body)) });
    },
    serviceRecords: ({ site, unit, ...request }) =>
      pageOf('service', request, ofUnit(site, unit), ({ atMs, id }) => ({ key: atMs, id })),
    serviceBetween: ({ site, unit }, fromMs, toMs) =>
      ofUnit(site, unit)
        .filter(({ atMs }) => atMs >= fromMs && atMs < toMs)
        .sort((one, other) => one.atMs - other.atMs || (one.id < other.id ? -1 : 1)),
    servicesAfter: (sequence, limit) =>
      [...disk.services.values()]
        .map(({ site, unit }, index) => ({ sequence: index + 1, site, unit }))
        .slice(sequence, sequence + limit),
    serviceEnd: () => disk.services.size,
  };
}

function memoryQuarantine(disk: RecordDisk): Synchronous<QuarantineRecords> {
  return {
    quarantine: (entries) => {
      for (const { atMs, payload } of entries) {
        checkTimes('A quarantine entry', atMs);
        if (payload.length > QUARANTINE_PAYLOAD_MOST_BYTES) throw badInput('payload over 4 KiB');
      }
      for (const entry of entries) {
        disk.quarantined += 1;
        const kept = { ...entry, payload: Uint8Array.from(entry.payload) };
        disk.quarantine.push({ sequence: disk.quarantined, entry: kept });
      }
      disk.quarantine = disk.quarantine.slice(-QUARANTINE_MOST_ENTRIES);
    },
    quarantined: (query) => {
      const page = pageOf('quarantine', query, disk.quarantine, ({ sequence }) => ({
        key: sequence,
        id: '',
      }));
      return { ...page, items: page.items.map(({ entry }) => entry) };
    },
    forgetQuarantineBefore: (atMs) => {
      disk.quarantine = disk.quarantine.filter(({ entry }) => entry.atMs >= atMs);
    },
  };
}

function memoryPresences(disk: RecordDisk): Synchronous<PresenceRecords> {
  return {
    setPresence: (presence) => {
      checkTimes('A presence', presence.sinceMs);
      disk.presences.set(refKey(presence), presence);
    },
    presences: () =>
      [...disk.presences.values()].sort((one, other) => (refKey(one) < refKey(other) ? -1 : 1)),
  };
}
