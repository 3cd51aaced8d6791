import type { Alarm, AlarmJournalEntry } from '@lineside/alarms';
import { PRIORITIES } from '@lineside/anomaly';
import { ASKING_BY_STATE } from '@lineside/oncall';
import { type PagedAlarm, withNewest, withoutAlarms } from '../paging-state.ts';
import { isOverUntold, settlingOf } from './late-truth.ts';
import type { KeptAsk, StepState } from './step-state.ts';

/**
 * The state with what the journal says, in its order; nobody is asked yet. A long backlog can be
 * heard in parts before one step, so that what has ended by the end of it asks nobody.
 *
 * @param nowMs by the clock on the wall: from then on an alarm asks, whenever it was raised.
 */
export function hear(
  state: StepState,
  entries: readonly AlarmJournalEntry[],
  nowMs: number,
): StepState {
  if (entries.length === 0) return state;
  const asks = new Map(state.asks);
  const newest = new Map<string, PagedAlarm>();
  const answered = new Set<string>();
  for (const entry of entries) {
    const { id } = entry.alarm;
    const ask = heard(asks.get(id), entry, nowMs);
    if (ask === null) {
      asks.delete(id);
      newest.delete(id);
      answered.add(id);
    } else {
      // One that asks anew in the same breath leaves its page all the same: it was answered.
      asks.set(id, ask);
      newest.set(id, ask.alarm);
    }
  }
  const left = answered.size === 0 ? state.paging : withoutAlarms(state.paging, answered);
  return { ...state, asks, paging: newest.size === 0 ? left : withNewest(left, newest) };
}

/** The ask after one entry; null when the alarm asks nobody any more. */
function heard(
  known: KeptAsk | undefined,
  entry: AlarmJournalEntry,
  nowMs: number,
): KeptAsk | null {
  const { alarm } = entry;
  if (alarm.withdrawn) return null;
  if (ASKING_BY_STATE[alarm.state].asks) return asking(known, entry, nowMs);
  if (!isOverUntold(entry, nowMs)) return null;
  if (known?.alarm.overAtMs !== undefined) return { ...known, ...told(alarm) };
  const isFirst = known === undefined && entry.from === null;
  const isUntold = known !== undefined && known.asking.paged.length === 0 && !isHeld(known);
  return isFirst || isUntold ? over(entry, nowMs) : null;
}

/** Of what happens under maintenance the people at the unit know. */
function isHeld({ asking: { maintenanceUntilMs } }: KeptAsk): boolean {
  return maintenanceUntilMs !== null;
}

function asking(known: KeptAsk | undefined, entry: AlarmJournalEntry, nowMs: number): KeptAsk {
  const { alarm } = entry;
  if (known === undefined || asksAnew(known, entry)) {
    const { askingSinceMs, ...settling } = settlingOf(entry, nowMs);
    return {
      ...told(alarm),
      ...settling,
      asking: {
        site: alarm.site,
        priority: alarm.priority,
        state: alarm.state,
        askingSinceMs,
        maintenanceUntilMs: known?.asking.maintenanceUntilMs ?? null,
        handedOnAtMs: null,
        // The last one says that somebody was told before; it counts for no level any more.
        paged: known?.alarm.overAtMs === undefined ? (known?.asking.paged.slice(-1) ?? []) : [],
      },
      dueAtMs: nowMs,
    };
  }
  const kept = { ...known, ...told(alarm) };
  const before = known.asking;
  const isHandedOn = entry.event === 'hand-on';
  if (!isHandedOn && before.priority === alarm.priority) return kept;
  const handedOnAtMs = isHandedOn ? nowMs : before.handedOnAtMs;
  return {
    ...kept,
    asking: { ...before, priority: alarm.priority, handedOnAtMs },
    dueAtMs: nowMs,
  };
}

/** A revision or new causes ask nobody again; a rise of the priority does, whatever brings it. */
function asksAnew(known: KeptAsk, { from, alarm }: AlarmJournalEntry): boolean {
  if (known.alarm.overAtMs !== undefined || from === null) return true;
  if (!ASKING_BY_STATE[from].asks) return true;
  return PRIORITIES.indexOf(alarm.priority) > PRIORITIES.indexOf(known.asking.priority);
}

function over({ alarm }: AlarmJournalEntry, nowMs: number): KeptAsk {
  return {
    ...told(alarm),
    asking: {
      site: alarm.site,
      priority: 'routine',
      state: alarm.state,
      askingSinceMs: nowMs,
      maintenanceUntilMs: null,
      handedOnAtMs: null,
      paged: [],
    },
    dueAtMs: nowMs,
  };
}

/** What pages say of an alarm. */
function told(alarm: Alarm): Pick<KeptAsk, 'alarm' | 'headline' | 'cause'> {
  const { id, site, unit, kind, priority, raisedAtMs, evidence, headline, causes } = alarm;
  const leakage = evidence['leakageMilliamps'];
  return {
    alarm: {
      id,
      site,
      unit,
      kind,
      priority,
      sinceMs: raisedAtMs,
      severity: typeof leakage === 'number' ? leakage : 0,
      ...(alarm.standing ? {} : { overAtMs: alarm.clearedAtMs ?? raisedAtMs }),
    },
    headline,
    cause: causes[0] ?? null,
  };
}

/** The ask of an alarm that is open already when alerting first starts. */
export function firstAsk(alarm: Alarm, nowMs: number): KeptAsk | null {
  if (!ASKING_BY_STATE[alarm.state].asks) return null;
  const entry: AlarmJournalEntry = {
    atMs: nowMs,
    event: 'raise',
    from: null,
    to: alarm.state,
    by: 'watch',
    note: null,
    alarm,
  };
  return asking(undefined, entry, nowMs);
}
