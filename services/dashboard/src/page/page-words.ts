/** Sentences of the page behind a link. */
import { dayAndTime, duration, zoneName } from '../words/times.ts';
import { alarmStateWords, causeWords, likelihood } from '../words/vocabulary.ts';
import type { PageAlarm, PageAlarmDetail, PageJournalLine, PageSite } from './page-types.ts';

export type RoofDanger = NonNullable<PageSite['roofDanger']>;

export const NOBODY_ON_ROOF =
  'Nobody goes onto a roof in this. Make safe from the upstream disconnect.';

export const DANGER_WORDS: Readonly<Record<RoofDanger, string>> = {
  lightning: 'Lightning',
  wind: 'High wind',
  ice: 'Ice',
};

/** `High wind at Harbour Mall, ice at Old Mill.`; empty without any danger. */
export function dangersWords(sites: readonly PageSite[]): string {
  const found = sites.flatMap(({ roofDanger, name }) =>
    roofDanger === null ? [] : [{ word: DANGER_WORDS[roofDanger], name }],
  );
  if (found.length === 0) return '';
  const parts = [...new Set(found.map(({ word }) => word))].map((word) => {
    const names = found.filter((one) => one.word === word).map(({ name }) => name);
    const [first = '', second] = names;
    const where =
      names.length > 2
        ? `${names.length} sites`
        : second === undefined
          ? first
          : `${first} and ${second}`;
    return `${word} at ${where}`;
  });
  return `${parts.join('; ')}.`;
}

/** `today 03:10 AST, 40 min ago`, or from when to when of what is over. */
export function sinceWords(alarm: PageAlarm, zone: string, nowMs: number): string {
  const sinceMs = Date.parse(alarm.since);
  const from = `${dayAndTime(sinceMs, zone, nowMs)} ${zoneName(sinceMs, zone)}`;
  if (alarm.cleared !== null) {
    return `From ${from} to ${dayAndTime(Date.parse(alarm.cleared), zone, nowMs)}`;
  }
  return `Since ${from}, for ${duration(nowMs - sinceMs)}`;
}

/** The most probable cause in one line; what is next when that is not known. */
export function probablyWords(detail: PageAlarmDetail | undefined): string | null {
  const [first, second] = detail?.causes ?? [];
  if (first === undefined) return null;
  if (first.cause !== 'unknown') {
    return `Probably: ${causeWords(first.cause).toLowerCase()} (${likelihood(first.probability)})`;
  }
  if (second === undefined) return 'Cause not determined.';
  const perhaps = causeWords(second.cause).toLowerCase();
  return `Cause not determined; perhaps ${perhaps} (${likelihood(second.probability)})`;
}

/** Who has answered, or that nobody has. */
export function answeredWords(alarm: PageAlarm, zone: string, nowMs: number): string {
  if (alarm.withdrawn) return 'Withdrawn: later readings took its cause away.';
  const at = (time: string): string => dayAndTime(Date.parse(time), zone, nowMs);
  if (alarm.state === 'acknowledged' && alarm.acknowledged !== null) {
    return `Acknowledged by ${alarm.acknowledgedBy ?? 'somebody'}, ${at(alarm.acknowledged)}.`;
  }
  if (alarm.state === 'shelved' && alarm.shelvedUntil !== null) {
    const until = dayAndTime(Date.parse(alarm.shelvedUntil), zone, nowMs);
    return `Put aside by ${alarm.shelvedBy ?? 'somebody'} until ${until}: ${alarm.shelveReason ?? ''}`;
  }
  if (alarm.state === 'unacknowledged') return 'Nobody has answered yet.';
  const words = alarmStateWords(alarm.state);
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
}

const EVENT_WORDS: Readonly<Partial<Record<PageJournalLine['event'], string>>> = {
  raise: 'Raised',
  reopen: 'Back again',
  escalate: 'More urgent',
  clear: 'Condition gone',
  acknowledge: 'Acknowledged',
  shelve: 'Put aside',
  unshelve: 'Taken back from the shelf',
  'shelf-expired': 'Time on the shelf over',
  'hand-on': 'Handed on',
  suppress: 'Suppressed',
  unsuppress: 'No longer suppressed',
  'take-out-of-service': 'Taken out of service',
  'return-to-service': 'Back in service',
  withdraw: 'Withdrawn',
};

/** What happens by itself needs no name. */
const NOBODY: ReadonlySet<string> = new Set(['watch', 'clock']);

export interface JournalWords {
  readonly when: string;
  readonly what: string;
}

export function journalWords(line: PageJournalLine, zone: string, nowMs: number): JournalWords {
  const what = EVENT_WORDS[line.event] ?? line.event;
  const who = NOBODY.has(line.by) ? '' : ` by ${line.by}`;
  const note = line.note === null ? '' : `: ${line.note}`;
  return { when: dayAndTime(Date.parse(line.time), zone, nowMs), what: `${what}${who}${note}` };
}

/** Whether somebody has said that they are on the way, since the alarm last asked. */
export function isOnTheWay(detail: PageAlarmDetail | undefined): boolean {
  const asked = new Set(['raise', 'reopen', 'escalate', 'hand-on', 'unshelve', 'shelf-expired']);
  for (const { event, note } of detail?.journal ?? []) {
    if (event === 'acknowledge' && note === 'on my way') return true;
    if (asked.has(event)) return false;
  }
  return false;
}

/** Until when the buttons work, in the zone of the first site. */
export function expiresWords(expires: string, zone: string, nowMs: number): string {
  const atMs = Date.parse(expires);
  return `${dayAndTime(atMs, zone, nowMs)} ${zoneName(atMs, zone)}`;
}
