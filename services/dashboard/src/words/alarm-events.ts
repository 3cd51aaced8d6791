import type { AlarmJournalEntry } from '../api/types.ts';

const EVENTS: Readonly<Record<AlarmJournalEntry['event'], string>> = {
  raise: 'Raised',
  reopen: 'Came back',
  escalate: 'Priority rose',
  reconsider: 'Judged again',
  clear: 'Back to normal',
  acknowledge: 'Acknowledged',
  shelve: 'Shelved',
  unshelve: 'Taken off the shelf',
  'shelf-expired': 'Off the shelf, its time was over',
  'hand-on': 'Handed on',
  suppress: 'Suppressed',
  unsuppress: 'Not suppressed any more',
  'take-out-of-service': 'Taken out of service',
  'return-to-service': 'Back in service',
  revise: 'Revised by later data',
  withdraw: 'Withdrawn by later data',
};

export const eventWords = (event: AlarmJournalEntry['event']): string => EVENTS[event];
