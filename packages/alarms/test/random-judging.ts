import type { FindingChange, FindingKind } from '@lineside/anomaly';
import fc from 'fast-check';
import {
  type Alarm,
  type AlarmJournalEntry,
  actOnAlarm,
  applyFinding,
  reconcileAlarms,
} from '../src/index.ts';
import {
  ACTION_KINDS,
  type ActionKind,
  actionOf,
  type Happening,
  happenings,
  live,
} from './random-history.ts';
import { contextOf, MINUTE_MS, RAISED_MS } from './sample-alarm.ts';

const KINDS = ['leakage', 'moisture'] as const satisfies readonly FindingKind[];

/** Event time of judging: later than anything that happens. */
const JUDGED_MS: number = RAISED_MS + 80 * 300 * MINUTE_MS;

/** What late data does to one finding: another time, another existence. */
type Nudge = number | 'gone';

const nudge: fc.Arbitrary<Nudge> = fc.oneof(
  { weight: 6, arbitrary: fc.constant(0) },
  { weight: 3, arbitrary: fc.constantFrom(-61, -5, 5, 61) },
  { weight: 1, arbitrary: fc.constant('gone' as const) },
);

/** Between two rounds of judging, a person does this to some alarm. */
interface Deed {
  readonly who: number;
  readonly action: ActionKind;
}

/** What is journalled live for each kind, and what judging says later, round by round. */
export interface Story {
  readonly histories: readonly Happening[][];
  readonly rounds: readonly Round[];
}

/** How findings come out when they are judged anew. */
type Anew =
  | { readonly nudges: readonly Nudge[] }
  | { readonly further: readonly Happening[] }
  | { readonly instead: readonly Happening[] };

interface Round {
  /** By kind. */
  readonly judged: readonly Anew[];
  readonly deeds: readonly Deed[];
}

const deed: fc.Arbitrary<Deed> = fc.record({
  who: fc.nat({ max: 20 }),
  action: fc.constantFrom(...ACTION_KINDS),
});

const judged: fc.Arbitrary<Anew> = fc.oneof(
  { weight: 3, arbitrary: fc.record({ nudges: fc.array(nudge, { minLength: 1 }) }) },
  { weight: 2, arbitrary: fc.record({ further: happenings }) },
  { weight: 1, arbitrary: fc.record({ instead: happenings }) },
);

export const stories: fc.Arbitrary<Story> = fc.record({
  histories: fc.tuple(happenings, happenings),
  rounds: fc.array(
    fc.record({
      judged: fc.tuple(judged, judged),
      deeds: fc.array(deed, { maxLength: 6 }),
    }),
    { minLength: 1, maxLength: 4 },
  ),
});

/** One judging anew: what it met, what it found, what came of it. */
export interface Reconciliation {
  readonly stored: readonly Alarm[];
  readonly judged: readonly Alarm[];
  readonly entries: readonly AlarmJournalEntry[];
  readonly after: readonly Alarm[];
}

/** Alarms after these entries, withdrawn ones included. */
export function applied(
  alarms: readonly Alarm[],
  entries: readonly AlarmJournalEntry[],
): readonly Alarm[] {
  const byId = new Map(alarms.map((alarm) => [alarm.id, alarm]));
  for (const { alarm } of entries) byId.set(alarm.id, alarm);
  return [...byId.values()];
}

/** Reconciles with ids that start with `prefix`. */
export function reconciled(
  stored: readonly Alarm[],
  findings: readonly Alarm[],
  prefix: string,
): readonly AlarmJournalEntry[] {
  let count = 0;
  const newId = (): string => {
    count += 1;
    return `${prefix}-${count}`;
  };
  return reconcileAlarms(stored, findings, { atMs: JUDGED_MS, newId });
}

export function tell({ histories, rounds }: Story): readonly Reconciliation[] {
  let stored = histories.flatMap((history, index) => {
    const entries = live(history).flatMap((step) => step.entries);
    return applied([], entries).map((alarm) => ofKind(alarm, KINDS[index] ?? 'leakage'));
  });
  return rounds.map(({ judged: by, deeds }, round) => {
    const met = deeds.reduce(actedOn, stored);
    const findings = by.flatMap((how, index) => {
      const changes = changesOf(histories[index] ?? [], how);
      return judgedFrom(changes).map((alarm) => ofKind(alarm, KINDS[index] ?? 'leakage'));
    });
    const entries = reconciled(met, findings, `round-${round}`);
    // As a real store does: what comes back is JSON.
    const after: Alarm[] = JSON.parse(JSON.stringify(applied(met, entries)));
    stored = after;
    return { stored: met, judged: findings, entries, after };
  });
}

function ofKind(alarm: Alarm, kind: FindingKind): Alarm {
  return { ...alarm, kind, id: `${kind}-${alarm.id}` };
}

function actedOn(alarms: Alarm[], { who, action: type }: Deed): Alarm[] {
  const at = who % Math.max(1, alarms.length);
  const alarm = alarms[at];
  if (alarm === undefined) return alarms;
  const atMs = JUDGED_MS;
  const outcome = actOnAlarm(alarm, actionOf(type, atMs), { atMs, by: 'emil' });
  return outcome.ok ? alarms.with(at, outcome.alarm) : alarms;
}

/** The findings of a history as judged anew, in order of time. */
function changesOf(history: readonly Happening[], how: Anew): readonly FindingChange[] {
  if ('instead' in how) return findingsOf(how.instead);
  if ('further' in how) return findingsOf([...history, ...how.further]);
  const { nudges } = how;
  return findingsOf(history)
    .flatMap((change, index) => {
      const by = nudges[index % nudges.length] ?? 0;
      return by === 'gone' ? [] : [{ ...change, atMs: change.atMs + by * MINUTE_MS }];
    })
    .sort((a, b) => a.atMs - b.atMs);
}

function findingsOf(history: readonly Happening[]): readonly FindingChange[] {
  return live(history)
    .map(({ change }) => change)
    .filter((change) => change !== null);
}

/** Alarms as judging makes them, with nobody acting on them. */
function judgedFrom(changes: readonly FindingChange[]): readonly Alarm[] {
  const context = contextOf();
  let newest: Alarm | null = null;
  let alarms: readonly Alarm[] = [];
  for (const change of changes) {
    const entries: readonly AlarmJournalEntry[] = applyFinding(newest, change, context);
    newest = entries.at(-1)?.alarm ?? newest;
    alarms = applied(alarms, entries);
  }
  return alarms;
}
