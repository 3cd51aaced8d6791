import type { CalendarRecords } from '@lineside/storage';
import { badInput } from './port-rules.ts';
import type { RecordDisk } from './record-disk.ts';
import type { Synchronous } from './store-lane.ts';

export function memoryCalendars({ calendars }: RecordDisk): Synchronous<CalendarRecords> {
  return {
    setCalendarSecret: (username, secretHash) => {
      if (username === '' && secretHash !== null) throw badInput('a calendar needs a user name');
      if (secretHash === null) calendars.delete(username);
      else calendars.set(username, secretHash);
    },
    calendarOwner: (secretHash) =>
      [...calendars].find(([, hash]) => hash === secretHash)?.[0] ?? null,
  };
}
