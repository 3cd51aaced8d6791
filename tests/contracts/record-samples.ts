import {
  type Alarm,
  type AlarmAction,
  type AlarmJournalEntry,
  actOnAlarm,
  applyFinding,
  reconcileAlarms,
} from '@lineside/alarms';
import type { FindingChange, FindingKind, Priority } from '@lineside/anomaly';
import type {
  AlarmChange,
  Invitation,
  Person,
  QuarantineEntry,
  RecordStore,
  ServiceRecord,
  StoredEpisode,
  WatchSnapshot,
} from '@lineside/storage';
import { FIRST_PAGE, MINUTE_MS, NOW_MS, SITE, UNIT } from './record-constants.ts';
import { alertingContents, fillAlerting } from './record-samples-alerting.ts';

export * from './record-constants.ts';

export interface SampleAlarm {
  readonly id: string;
  readonly site?: string;
  readonly unit?: string;
  readonly kind?: FindingKind;
  readonly priority?: Priority;
  readonly atMs?: number;
}

/** The entry that raises this alarm. */
export function raised(sample: SampleAlarm): AlarmJournalEntry {
  const { id, site = SITE, unit = UNIT, kind = 'leakage', priority = 'routine' } = sample;
  const change: FindingChange = {
    change: 'opened',
    kind,
    priority,
    atMs: sample.atMs ?? NOW_MS,
    headline: 'Leakage to ground 14 mA, rising, line side – Überprüfen',
    evidence: { leakageMilliamps: 14.25, side: 'line', inferred: false, baseline: null },
    causes: [{ cause: 'line-side-track-to-ground', probability: 0.86, because: ['rises'] }],
  };
  return first(applyFinding(null, change, { site, unit, newId: () => id }));
}

export function clearedAt(alarm: Alarm, atMs: number): AlarmJournalEntry {
  const { site, unit, kind } = alarm;
  const change: FindingChange = { change: 'closed', kind, atMs };
  return first(applyFinding(alarm, change, { site, unit, newId: () => 'unused' }));
}

export function acted(alarm: Alarm, action: AlarmAction, by = 'rosa'): AlarmJournalEntry {
  const outcome = actOnAlarm(alarm, action, { atMs: NOW_MS, by });
  if (!outcome.ok || outcome.entry === null) throw new Error('the sample cannot be acted on');
  return outcome.entry;
}

export function acknowledged(alarm: Alarm, by?: string): AlarmJournalEntry {
  return acted(alarm, { type: 'acknowledge' }, by);
}

/** The entry that takes the alarm back. */
export function withdrawn(alarm: Alarm, atMs: number = NOW_MS): AlarmJournalEntry {
  return first(reconcileAlarms([alarm], [], { atMs, newId: () => 'unused' }));
}

export function changes(...entries: readonly AlarmJournalEntry[]): readonly AlarmChange[] {
  return entries.map((entry) => ({ entry }));
}

function first(entries: readonly AlarmJournalEntry[]): AlarmJournalEntry {
  const [entry] = entries;
  if (entry === undefined) throw new Error('the sample gives no entry');
  return entry;
}

export function episode(startMs: number, endMs: number | null, unit = UNIT): StoredEpisode {
  const source = 'condensation';
  const evidence = { marginKelvin: -0.4 };
  return {
    site: SITE,
    unit,
    episode: { startMs, peakMs: startMs + 1, endMs, source, wetHours: 1.5, evidence },
  };
}

export function snapshot(throughMs: number, unit = UNIT): WatchSnapshot {
  return { site: SITE, unit, throughMs, state: { version: 1, throughMs, sums: [1.5, null, 'ü'] } };
}

export function service(id: string, atMs: number, unit = UNIT): ServiceRecord {
  return {
    site: SITE,
    unit,
    id,
    atMs,
    action: 'fuses-replaced',
    body: { action: 'fuses-replaced', phases: ['a', 'c'], remark: 'dead ones marked' },
    recordedAtMs: NOW_MS,
    recordedBy: 'rosa',
  };
}

export function quarantined(count: number, bytes = 3): QuarantineEntry {
  return {
    atMs: NOW_MS + count,
    topic: `lineside/${SITE}/${UNIT}/telemetry`,
    code: 'NOT_A_PACK',
    reason: `sample ${count}`,
    payload: Uint8Array.from({ length: bytes }, (_, index) => (index * 37 + count) % 256),
  };
}

export function person(id: string, username: string): Person {
  return {
    id,
    username,
    displayName: 'Rosa Lind',
    passwordHash: 'hash of a password',
    role: 'viewer',
    sites: [SITE, 'north-depot'],
    createdAtMs: NOW_MS,
  };
}

export function invitation(secretHash: string, role: Invitation['role'] = 'office'): Invitation {
  const sites = role === 'viewer' ? [SITE] : null;
  const expiresAtMs = NOW_MS + 60 * MINUTE_MS;
  return { secretHash, role, sites, createdAtMs: NOW_MS, expiresAtMs };
}

/** Something in every corner of the store. */
export async function fill(store: RecordStore): Promise<void> {
  await store.saveFleet({ sites: [{ id: SITE, name: 'Harbour Mall – Süd' }] });
  const raise = raised({ id: 'a1' });
  await store.commitJudgement({
    checkpoints: [{ site: SITE, unit: UNIT, judgedThroughMs: NOW_MS, state: { version: 1 } }],
    alarms: changes(raise, acknowledged(raise.alarm)),
    episodes: [episode(NOW_MS, null), episode(NOW_MS - 9_000, NOW_MS - 5_000)],
    snapshots: [snapshot(NOW_MS - 1), snapshot(NOW_MS)],
  });
  await store.markDirty([{ site: SITE, unit: UNIT, fromMs: NOW_MS }]);
  const settings = { supply: '480Y/277' };
  await store.addSettingsVersions([{ site: SITE, unit: UNIT, fromMs: NOW_MS, settings }]);
  await store.addServiceRecord(service('s1', NOW_MS));
  await store.quarantine([quarantined(1), quarantined(2)]);
  await store.setPresence({ site: SITE, unit: UNIT, online: true, sinceMs: NOW_MS });
  await store.setNodeCredential({
    site: SITE,
    unit: UNIT,
    username: 'node-1',
    secretHash: 'hash of a secret',
    mosquittoHash: '$7$101$c2FsdA==$aGFzaA==',
    createdAtMs: NOW_MS,
  });
  await store.revokeNode({ site: SITE, unit: 'rtu-09' }, NOW_MS);
  await store.setBrokerUser({
    name: 'board-in-the-hall',
    sites: [SITE],
    mosquittoHash: '$7$101$c2FsdA==$aGFzaA==',
    secret: null,
    createdAtMs: NOW_MS,
  });
  await store.addToken({
    id: 't1',
    tokenHash: 'hash of a token',
    role: 'office',
    sites: null,
    createdAtMs: NOW_MS,
  });
  await store.addInvitation(invitation('used'));
  await store.acceptInvitation('used', person('p1', 'Rosa'), NOW_MS);
  await store.addInvitation(invitation('unused', 'viewer'));
  await store.setSignInFailures('rosa', { count: 2, lastAtMs: NOW_MS });
  await store.addSession(session('s1', 'p1'));
  await fillAlerting(store);
}

export function session(sessionHash: string, personId: string) {
  const expiresAtMs = NOW_MS + MINUTE_MS;
  return { sessionHash, personId, csrfToken: 'csrf', createdAtMs: NOW_MS, expiresAtMs };
}

/** Everything that `fill` wrote, as the port gives it back. */
export async function contents(store: RecordStore): Promise<Readonly<Record<string, unknown>>> {
  const ref = { site: SITE, unit: UNIT };
  return {
    fleet: await store.loadFleet(),
    alarms: await store.alarms(FIRST_PAGE),
    journal: await store.journalAfter(0, 1_000),
    journalEnd: await store.journalEnd(),
    checkpoints: await store.checkpoints(),
    episodes: await store.episodes({ ...ref, ...FIRST_PAGE }),
    dirty: await store.dirtyUnits(),
    snapshot: await store.snapshotBefore(ref, NOW_MS + 1),
    snapshotTimes: await store.snapshotTimes(ref),
    settings: await store.settingsVersions(),
    service: await store.serviceRecords({ ...ref, ...FIRST_PAGE }),
    quarantine: await store.quarantined(FIRST_PAGE),
    presences: await store.presences(),
    node: await store.nodeCredential('node-1'),
    nodes: await store.nodeCredentials(),
    revoked: await store.revokedNodes(),
    revocations: await store.revocationsAfter(0),
    brokerUsers: await store.brokerUsers(),
    token: await store.tokenByHash('hash of a token'),
    people: await store.countPeople(),
    person: await store.personByUsername('rosa'),
    invitation: await store.invitation('unused'),
    failures: await store.signInFailures('rosa'),
    session: await store.sessionByHash('s1'),
    alerting: await alertingContents(store),
  };
}
