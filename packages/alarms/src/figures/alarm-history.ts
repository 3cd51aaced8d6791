import type { FindingKind, Priority } from '@lineside/anomaly';
import type { AlarmJournalEntry, AlarmState } from '../alarm.ts';
import { isMoreUrgent } from '../priority-steps.ts';

/**
 * An alarm presented to people: raised, reopened, risen in priority, or found to stand after all. A
 * rise counts, since it is what a second, higher alarm point would be; what is shelved, suppressed
 * or out of service is presented to nobody. One that is set aside right after its raise counts: it
 * was presented for a moment.
 */
export interface Annunciation {
  /** Event time. */
  readonly atMs: number;
  readonly site: string;
  /** Site, unit and kind as one text: the alarm point. */
  readonly point: string;
  readonly unit: string;
  readonly kind: FindingKind;
  readonly priority: Priority;
  /** A rise alone is no new occurrence of its alarm point. */
  readonly isRise: boolean;
  /** From the annunciation to its acknowledgement, ms; null when the next one came first. */
  readonly answeredAfterMs: number | null;
}

/** A time during which an alarm stood without a break. */
export interface Standing {
  readonly site: string;
  readonly fromMs: number;
  /** `Infinity` while it stands. */
  readonly toMs: number;
}

export interface AlarmHistory {
  /** In order of time. */
  readonly annunciations: readonly Annunciation[];
  readonly standings: readonly Standing[];
}

/**
 * What the journal says about how alarms came, were answered and went, whatever the order of its
 * entries; an entry handed in twice counts once.
 */
export function alarmHistory(entries: Iterable<AlarmJournalEntry>): AlarmHistory {
  const annunciations: Annunciation[] = [];
  const standings: Standing[] = [];
  for (const life of livesOf(entries)) {
    annunciations.push(...annunciationsOf(life));
    standings.push(...standingsOf(life));
  }
  annunciations.sort((a, b) => a.atMs - b.atMs || compareText(a.point, b.point));
  return { annunciations, standings };
}

/** One alarm's entries in order of revision. */
type Life = readonly AlarmJournalEntry[];

function livesOf(entries: Iterable<AlarmJournalEntry>): Iterable<Life> {
  const byAlarm = new Map<string, Map<number, AlarmJournalEntry>>();
  for (const entry of entries) {
    const { id, revision } = entry.alarm;
    const life = byAlarm.get(id) ?? new Map<number, AlarmJournalEntry>();
    life.set(revision, entry);
    byAlarm.set(id, life);
  }
  return [...byAlarm.values()].map((life) =>
    [...life.values()].sort((a, b) => a.alarm.revision - b.alarm.revision),
  );
}

function annunciationsOf(life: Life): readonly Annunciation[] {
  const found: Annunciation[] = [];
  let before: AlarmJournalEntry | null = null;
  for (const entry of life) {
    const last = found.at(-1);
    if (entry.event === 'acknowledge') {
      if (last !== undefined && last.answeredAfterMs === null) {
        const answeredAfterMs = Math.max(0, entry.atMs - last.atMs);
        found[found.length - 1] = { ...last, answeredAfterMs };
      }
    } else if (isPresented(entry, before)) {
      const next = annunciationOf(entry, before);
      // A reopening that rises at once is written as two entries, yet people see one alarm.
      if (last?.atMs === next.atMs) found.pop();
      found.push(last?.atMs === next.atMs ? { ...next, isRise: last.isRise } : next);
    }
    before = entry;
  }
  return found;
}

const ASKS: ReadonlySet<AlarmState> = new Set(['unacknowledged', 'returned-unacknowledged']);
const PRESENTING: ReadonlySet<AlarmJournalEntry['event']> = new Set([
  'raise',
  'reopen',
  'escalate',
]);

function isPresented(entry: AlarmJournalEntry, before: AlarmJournalEntry | null): boolean {
  if (!ASKS.has(entry.to)) return false;
  if (PRESENTING.has(entry.event)) return true;
  if (entry.event !== 'revise') return false;
  return isRiseAfter(entry, before) || (entry.to === 'unacknowledged' && entry.from !== entry.to);
}

function isRiseAfter(entry: AlarmJournalEntry, before: AlarmJournalEntry | null): boolean {
  return before !== null && isMoreUrgent(entry.alarm.priority, before.alarm.priority);
}

function annunciationOf(entry: AlarmJournalEntry, before: AlarmJournalEntry | null): Annunciation {
  const { site, unit, kind, priority } = entry.alarm;
  const isRise = entry.event === 'escalate' || isRiseAfter(entry, before);
  return {
    atMs: isRise ? roseAtMs(entry) : entry.atMs,
    site,
    point: `${site}/${unit}/${kind}`,
    unit,
    kind,
    priority,
    isRise,
    answeredAfterMs: null,
  };
}

/** A revision is dated by how far was judged; its priority steps know when the rise was. */
function roseAtMs({ event, atMs, alarm: { priority, priorities } }: AlarmJournalEntry): number {
  if (event !== 'revise') return atMs;
  return priorities.findLast((step) => step.priority === priority)?.sinceMs ?? atMs;
}

function standingsOf(life: Life): readonly Standing[] {
  const found: Standing[] = [];
  let stood = false;
  for (const { event, atMs, alarm } of life) {
    const last = found.at(-1);
    const toMs = alarm.standing ? Number.POSITIVE_INFINITY : (alarm.clearedAtMs ?? atMs);
    if (last === undefined || (event === 'reopen' && !stood)) {
      const fromMs = last === undefined ? alarm.raisedAtMs : atMs;
      found.push({ site: alarm.site, fromMs, toMs });
    } else {
      // Also where a revision took the clearing back: it has stood all the while.
      found[found.length - 1] = { ...last, toMs };
    }
    stood = alarm.standing;
  }
  return found;
}

function compareText(a: string, b: string): number {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}
