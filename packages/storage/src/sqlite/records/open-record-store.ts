import type { QuarantineEntry, RecordStore } from '../../ports/record-store.ts';
import { startWorker } from '../../worker/start-worker.ts';
import { workerEntry } from '../../worker/worker-entry.ts';
import type { RecordAdapter, RecordStoreOptions } from './record-adapter.ts';

/**
 * Records in one SQLite file, behind a thread of its own. Every write is on disk when its promise
 * resolves. Two programs may have the file open at once; a write waits up to 5 s for the other's.
 *
 * @throws StoreError `STORE_NEWER_SCHEMA` for a file of a newer program; `STORE_FULL`;
 *   `STORE_UNAVAILABLE` when it cannot be opened.
 */
export async function openRecordStore(options: RecordStoreOptions): Promise<RecordStore> {
  const entry = workerEntry(import.meta.url, './record-entry');
  const { methods, close } = await startWorker<RecordAdapter>(entry, options);
  return {
    ...picked(methods, METHODS),
    quarantine: async (entries) => methods.quarantine(entries.map(withOwnPayload)),
    close,
  };
}

/** Calls that travel as they are. What the port has and this list lacks does not compile. */
const METHODS = [
  'loadFleet',
  'saveFleet',
  'alarm',
  'alarms',
  'newestAlarms',
  'openAlarms',
  'alarmsSince',
  'changeAlarms',
  'journalAfter',
  'journalEnd',
  'journalOf',
  'commitJudgement',
  'checkpoints',
  'episodes',
  'episodesBetween',
  'markDirty',
  'dirtyUnits',
  'snapshotBefore',
  'snapshotTimes',
  'settingsVersions',
  'addSettingsVersions',
  'addServiceRecord',
  'serviceRecords',
  'serviceBetween',
  'servicesAfter',
  'serviceEnd',
  'quarantined',
  'forgetQuarantineBefore',
  'setPresence',
  'presences',
  'setNodeCredential',
  'nodeCredential',
  'nodeCredentials',
  'revokeNode',
  'revokedNodes',
  'revocationsAfter',
  'setBrokerUser',
  'brokerUsers',
  'removeBrokerUser',
  'addToken',
  'tokenByHash',
  'countPeople',
  'acceptInvitation',
  'addInvitation',
  'invitation',
  'personByUsername',
  'person',
  'signInFailures',
  'setSignInFailures',
  'addSession',
  'sessionByHash',
  'endSession',
  'forgetSessionsBefore',
  'alertingState',
  'commitAlerting',
  'addMessages',
  'messagesDue',
  'nextMessageDueMs',
  'settleMessages',
  'messages',
  'lastHandedOver',
  'forgetMessagesBefore',
  'pageLink',
  'bindPageLink',
  'loadRota',
  'saveRota',
  'contactPoints',
  'setContactPoint',
  'removeContactPoint',
  'secretOr',
  'setCalendarSecret',
  'calendarOwner',
  'addUnitHold',
  'endUnitHold',
  'unitHoldsAt',
  'unitHolds',
  'setVerdict',
  'verdictsOf',
  'verdicts',
  'backup',
] as const satisfies readonly (keyof RecordStore)[];

function picked<T, K extends keyof T>(source: T, names: readonly K[]): Pick<T, K> {
  const part = {} as Pick<T, K>;
  for (const name of names) part[name] = source[name];
  return part;
}

/** A view into a broker's buffer would travel with the whole buffer. */
function withOwnPayload(entry: QuarantineEntry): QuarantineEntry {
  return { ...entry, payload: Uint8Array.from(entry.payload) };
}
