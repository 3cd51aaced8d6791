import type { FindingChange } from '@lineside/anomaly';
import { PRIORITIES } from '@lineside/anomaly';
import fc from 'fast-check';
import {
  type Alarm,
  type AlarmAction,
  type AlarmJournalEntry,
  actOnAlarm,
  applyFinding,
} from '../src/index.ts';
import { closed, contextOf, escalated, MINUTE_MS, opened, RAISED_MS } from './sample-alarm.ts';

/** One thing that happens `afterMinutes` later; a negative time is a change that comes late. */
export type Happening =
  | { readonly who: 'watch'; readonly afterMinutes: number; readonly change: ChangeKind }
  | { readonly who: 'person'; readonly afterMinutes: number; readonly action: ActionKind };

type Priority = (typeof PRIORITIES)[number];
type ChangeKind = readonly ['opened' | 'escalated', Priority] | readonly ['closed'];
export type ActionKind = AlarmAction['type'];

export const ACTION_KINDS: readonly ActionKind[] = [
  'acknowledge',
  'hand-on',
  'shelve',
  'unshelve',
  'shelf-expired',
  'suppress',
  'unsuppress',
  'take-out-of-service',
  'return-to-service',
];

const priority = fc.constantFrom(...PRIORITIES);
const afterMinutes = fc.oneof(
  { weight: 8, arbitrary: fc.constantFrom(0, 1, 20, 59, 60, 61, 300) },
  { weight: 1, arbitrary: fc.constantFrom(-1, -45, -90) },
);
const change: fc.Arbitrary<ChangeKind> = fc.oneof(
  fc.tuple(fc.constantFrom('opened' as const, 'escalated' as const), priority),
  fc.constant(['closed'] as const),
);

export const happenings: fc.Arbitrary<Happening[]> = fc.array(
  fc.oneof(
    fc.record({ who: fc.constant('watch' as const), afterMinutes, change }),
    fc.record({
      who: fc.constant('person' as const),
      afterMinutes,
      action: fc.constantFrom(...ACTION_KINDS),
    }),
  ),
  { maxLength: 40 },
);

/** What was handed in, and what came of it. */
export interface Step {
  readonly before: Alarm | null;
  readonly change: FindingChange | null;
  readonly action: AlarmAction | null;
  readonly entries: readonly AlarmJournalEntry[];
}

/** Lets it all happen to one unit's leakage. */
export function live(history: readonly Happening[]): readonly Step[] {
  const context = contextOf();
  const steps: Step[] = [];
  let newest: Alarm | null = null;
  let atMs = RAISED_MS;
  for (const happening of history) {
    atMs += happening.afterMinutes * MINUTE_MS;
    const before: Alarm | null = newest;
    let step: Step;
    if (happening.who === 'watch') {
      const change = changeOf(happening.change, atMs);
      const entries = applyFinding(before, change, context);
      step = { before, change, action: null, entries };
    } else {
      const action = actionOf(happening.action, atMs);
      const outcome = before === null ? null : actOnAlarm(before, action, { atMs, by: 'rosa' });
      const entry = outcome?.ok === true ? outcome.entry : null;
      step = { before, change: null, action, entries: entry === null ? [] : [entry] };
    }
    steps.push(step);
    newest = step.entries.at(-1)?.alarm ?? newest;
  }
  return steps;
}

function changeOf([kind, to]: ChangeKind, atMs: number): FindingChange {
  if (kind === 'closed' || to === undefined) return closed(atMs);
  return kind === 'opened' ? opened(atMs, to) : escalated(atMs, to);
}

/** An action of this kind that nothing but the state of the alarm can be against. */
export function actionOf(type: ActionKind, atMs: number): AlarmAction {
  if (type === 'shelve') return { type, untilMs: atMs + 90 * MINUTE_MS, reason: 'visit booked' };
  if (type === 'unshelve' || type === 'shelf-expired') return { type };
  return { type, note: 'as the plan says' };
}
