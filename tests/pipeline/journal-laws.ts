import type { Alarm } from '@lineside/alarms';
import { PRIORITIES } from '@lineside/anomaly';
import type { StoredJournalEntry } from '@lineside/storage';
import type { RecordDisk } from '../in-memory/record-disk.ts';
import type { KeptAcknowledgement } from './people.ts';

/** Events after which an acknowledgement is asked for anew. */
const ASKS_AGAIN: readonly string[] = [
  'acknowledge',
  'escalate',
  'reopen',
  'unshelve',
  'shelf-expired',
  'unsuppress',
  'return-to-service',
];

/** What must hold of alarms after every single commit. */
export function lawsOfCommits(disk: RecordDisk, broken: (words: string) => void): void {
  const before = new Map<string, Alarm>();
  const announced = new Set<string>();
  disk.onAlarms = (added) => {
    for (const entry of added) {
      checkFollows(entry, before.get(entry.alarm.id) ?? null, broken);
      before.set(entry.alarm.id, entry.alarm);
      const { id, priority } = entry.alarm;
      const words = `${id} ${entry.event} ${priority} at ${entry.atMs}`;
      const isAnnounced = ['raise', 'reopen', 'escalate'].includes(entry.event);
      if (isAnnounced && announced.has(words)) broken(`announced twice: ${words}`);
      announced.add(words);
    }
    const standing = new Set<string>();
    for (const alarm of before.values()) {
      const place = `${alarm.site}/${alarm.unit} ${alarm.kind}`;
      if (alarm.standing && standing.has(place)) broken(`two alarms stand: ${place}`);
      if (alarm.standing) standing.add(place);
    }
  };
}

function checkFollows(
  entry: StoredJournalEntry,
  before: Alarm | null,
  broken: (words: string) => void,
): void {
  const { alarm, event } = entry;
  const words = `${alarm.site}/${alarm.unit} ${alarm.kind} ${event}`;
  if (alarm.revision !== (before?.revision ?? 0) + 1) broken(`revision jumps: ${words}`);
  if (entry.from !== (before?.state ?? null)) broken(`state jumps: ${words}`);
  if (before?.withdrawn === true) broken(`changed after it was withdrawn: ${words}`);
  if (before !== null && event !== 'revise' && alarm.raisedAtMs !== before.raisedAtMs) {
    broken(`raised at another time: ${words}`);
  }
}

/** Acknowledgements that went away, though nothing happened that asks for a new one. */
export function lostAcknowledgements(
  disk: RecordDisk,
  kept: readonly KeptAcknowledgement[],
): readonly string[] {
  return kept.flatMap(({ alarmId, revision, atMs }) => {
    const journal = disk.journal.filter(({ alarm }) => alarm.id === alarmId);
    const own = journal.find(({ alarm }) => alarm.revision === revision);
    if (own === undefined) return [`the acknowledgement of ${alarmId} is not in the journal`];
    const later = journal.filter(({ alarm }) => alarm.revision > revision);
    const end = later.find(({ alarm }) => alarm.acknowledgedAtMs !== atMs);
    if (end === undefined || mayAskAgain(end, journal)) return [];
    const { site, unit, kind } = end.alarm;
    return [`${site}/${unit} ${kind}: ${end.event} took an acknowledgement away`];
  });
}

function mayAskAgain(end: StoredJournalEntry, journal: readonly StoredJournalEntry[]): boolean {
  if (ASKS_AGAIN.includes(end.event)) return true;
  if (end.event !== 'revise') return false;
  const before = journal.find(({ alarm }) => alarm.revision === end.alarm.revision - 1)?.alarm;
  if (before === undefined) return false;
  const isRise = PRIORITIES.indexOf(end.alarm.priority) > PRIORITIES.indexOf(before.priority);
  // It was over, and stands after all.
  const isBack = before.state === 'normal' && end.alarm.standing;
  return isRise || isBack;
}
