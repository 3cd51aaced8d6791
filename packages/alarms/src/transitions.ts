import type { AlarmEvent, AlarmState } from './alarm.ts';

/** Where an event leads, or why it cannot happen. */
export type Transition =
  | { readonly ok: true; readonly to: AlarmState }
  | { readonly ok: false; readonly reason: string };

/** One cell of the table: the next state by whether the condition is present after the event. */
export interface TransitionCell {
  readonly present: Transition;
  readonly absent: Transition;
}

function refused(reason: string): Transition {
  return { ok: false, reason };
}

function never(reason: string): TransitionCell {
  return { present: refused(reason), absent: refused(reason) };
}

function whilePresent(to: AlarmState): TransitionCell {
  return { present: { ok: true, to }, absent: refused('its condition is not present') };
}

function whileAbsent(to: AlarmState): TransitionCell {
  return { present: refused('its condition is present'), absent: { ok: true, to } };
}

function byCondition(present: AlarmState, absent: AlarmState): TransitionCell {
  return { present: { ok: true, to: present }, absent: { ok: true, to: absent } };
}

const RAISED_BEFORE = never('it was raised before; it can only reopen');
const STANDS = never('it stands already');
const NOT_STANDING = never('it does not stand');
const NOT_SHELVED = never('it is not shelved');
const NOT_SHOWN = never('it is not shown to anyone in this state');
const WITHDRAW = whileAbsent('normal');

type Row = Readonly<Record<AlarmEvent, TransitionCell>>;

/** Suppressed by design and out of service: the condition is followed, people see nothing. */
function silencedRow(state: AlarmState): Row {
  return {
    raise: RAISED_BEFORE,
    reopen: whilePresent(state),
    escalate: whilePresent(state),
    reconsider: whilePresent(state),
    clear: whileAbsent(state),
    acknowledge: NOT_SHOWN,
    shelve: NOT_SHOWN,
    unshelve: NOT_SHELVED,
    'shelf-expired': NOT_SHELVED,
    revise: byCondition(state, state),
    withdraw: WITHDRAW,
  };
}

/**
 * The alarm states of ANSI/ISA-18.2-2016 (IEC 62682:2014) without the latched ones, as a table of
 * state by event. The standard's transitions are from memory: normal, alarm, unacknowledged;
 * unacknowledged, acknowledge, acknowledged; unacknowledged, return, returned-unacknowledged;
 * acknowledged, return, normal; returned-unacknowledged, acknowledge, normal, or alarm,
 * unacknowledged; shelved from any, and back to normal or unacknowledged by the condition.
 *
 * Where the standard speaks of an alarm point and we of one occurrence:
 * - a normal alarm is over, so there is nothing to shelve;
 * - only unshelving and the shelf's end lead out of `shelved`: an alarm that clears or reopens
 *   meanwhile stays shelved, since shelving asks for quiet until a stated time;
 * - but a rise of priority is what a second, higher alarm point would be in the standard. Nobody
 *   acknowledged or shelved that one, so it asks for attention again;
 * - evidence that changes the causes at the same priority asks for nobody again: the state stays;
 * - judging anew revises or withdraws what was journalled. A revision leaves what people did as it
 *   is and follows the condition; an alarm may be raised whose condition is over already.
 *
 * Nothing leads to `suppressed` and `out-of-service` yet; their rows keep the table complete.
 */
export const ALARM_TRANSITIONS: Readonly<Record<AlarmState, Row>> = {
  normal: {
    raise: byCondition('unacknowledged', 'returned-unacknowledged'),
    reopen: whilePresent('unacknowledged'),
    escalate: NOT_STANDING,
    reconsider: NOT_STANDING,
    clear: NOT_STANDING,
    acknowledge: never('it is back to normal and needs no acknowledgement'),
    shelve: never('it is back to normal; there is nothing to shelve'),
    unshelve: NOT_SHELVED,
    'shelf-expired': NOT_SHELVED,
    revise: byCondition('unacknowledged', 'normal'),
    withdraw: WITHDRAW,
  },
  unacknowledged: {
    raise: RAISED_BEFORE,
    reopen: STANDS,
    escalate: whilePresent('unacknowledged'),
    reconsider: whilePresent('unacknowledged'),
    clear: whileAbsent('returned-unacknowledged'),
    acknowledge: whilePresent('acknowledged'),
    shelve: whilePresent('shelved'),
    unshelve: NOT_SHELVED,
    'shelf-expired': NOT_SHELVED,
    revise: byCondition('unacknowledged', 'returned-unacknowledged'),
    withdraw: WITHDRAW,
  },
  acknowledged: {
    raise: RAISED_BEFORE,
    reopen: STANDS,
    escalate: whilePresent('unacknowledged'),
    reconsider: whilePresent('acknowledged'),
    clear: whileAbsent('normal'),
    acknowledge: whilePresent('acknowledged'),
    shelve: whilePresent('shelved'),
    unshelve: NOT_SHELVED,
    'shelf-expired': NOT_SHELVED,
    revise: byCondition('acknowledged', 'normal'),
    withdraw: WITHDRAW,
  },
  'returned-unacknowledged': {
    raise: RAISED_BEFORE,
    reopen: whilePresent('unacknowledged'),
    escalate: NOT_STANDING,
    reconsider: NOT_STANDING,
    clear: NOT_STANDING,
    acknowledge: whileAbsent('normal'),
    shelve: whileAbsent('shelved'),
    unshelve: NOT_SHELVED,
    'shelf-expired': NOT_SHELVED,
    revise: byCondition('unacknowledged', 'returned-unacknowledged'),
    withdraw: WITHDRAW,
  },
  shelved: {
    raise: RAISED_BEFORE,
    reopen: whilePresent('shelved'),
    escalate: whilePresent('unacknowledged'),
    reconsider: whilePresent('shelved'),
    clear: whileAbsent('shelved'),
    acknowledge: never('it is shelved; unshelve it first'),
    shelve: byCondition('shelved', 'shelved'),
    unshelve: byCondition('unacknowledged', 'normal'),
    'shelf-expired': byCondition('unacknowledged', 'normal'),
    revise: byCondition('shelved', 'shelved'),
    withdraw: WITHDRAW,
  },
  suppressed: silencedRow('suppressed'),
  'out-of-service': silencedRow('out-of-service'),
};

/**
 * Looks up where an event leads. An alarm that does not exist yet counts as `normal`.
 *
 * @param conditionPresent whether the condition is present once the event has happened.
 */
export function nextAlarmState(
  state: AlarmState,
  event: AlarmEvent,
  conditionPresent: boolean,
): Transition {
  const cell = ALARM_TRANSITIONS[state][event];
  return conditionPresent ? cell.present : cell.absent;
}

/**
 * Where a revision leads. One that raises the priority leads where it would lead from
 * `unacknowledged`: nobody has acknowledged or shelved the higher one.
 */
export function revisedAlarmState(
  state: AlarmState,
  conditionPresent: boolean,
  isRise: boolean,
): Transition {
  const isSilenced = state === 'suppressed' || state === 'out-of-service';
  const from = isRise && !isSilenced ? 'unacknowledged' : state;
  return nextAlarmState(from, 'revise', conditionPresent);
}
