import type { RecordStore } from '../../ports/record-store.ts';
import { alarmLifeRecords } from './alarm-life-records.ts';
import { alarmRecords } from './alarm-records.ts';
import { alertingRecords } from './alerting-records.ts';
import { backUp } from './back-up.ts';
import { brokerUserRecords } from './broker-user-records.ts';
import { calendarRecords } from './calendar-records.ts';
import { fleetRecords } from './fleet-records.ts';
import { judgementRecords } from './judgement-records.ts';
import { nodeRecords } from './node-records.ts';
import { onCallRecords } from './on-call-records.ts';
import { openDatabase } from './open-database.ts';
import { peopleRecords } from './people-records.ts';
import { presenceRecords } from './presence-records.ts';
import { quarantineRecords } from './quarantine-records.ts';
import { replayRecords } from './replay-records.ts';
import { serviceRecords } from './service-records.ts';
import type { Synchronous } from './synchronous.ts';

export interface RecordStoreOptions {
  /** The SQLite file; created with its folder when missing. */
  readonly file: string;
}

/** The record store as it runs inside its thread. */
export type RecordAdapter = Synchronous<Omit<RecordStore, 'backup'>> & {
  readonly backup: (target: string) => Promise<void>;
};

export function createRecordAdapter({ file }: RecordStoreOptions): RecordAdapter {
  const db = openDatabase(file);
  return {
    ...fleetRecords(db),
    ...alarmRecords(db),
    ...judgementRecords(db),
    ...replayRecords(db),
    ...serviceRecords(db),
    ...quarantineRecords(db),
    ...presenceRecords(db),
    ...nodeRecords(db),
    ...brokerUserRecords(db),
    ...peopleRecords(db),
    ...alertingRecords(db),
    ...onCallRecords(db),
    ...calendarRecords(db),
    ...alarmLifeRecords(db),
    backup: (target) => backUp(file, target),
    close: () => {
      db.close();
    },
  };
}
