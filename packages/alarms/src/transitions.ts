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
const SET_ASIDE = never('it is set aside and asks nobody');
const NOT_SUPPRESSED = never('it is not suppressed');
const IN_SERVICE = never('it is in service');
const ASKS_NOBODY = never('it asks nobody');
const TAKEN_OUT = byCondition('out-of-service', 'out-of-service');
const BACK = byCondition('unacknowledged', 'normal');
const WITHDRAW = whileAbsent('normal');

type Row = Readonly<Record<AlarmEvent, TransitionCell>>;

/** Suppressed by design and out of service: the condition is followed, nobody is asked. */
function silencedRow(
  state: AlarmState,
  out: Pick<Row, 'suppress' | 'unsuppress' | 'take-out-of-service' | 'return-to-service'>,
): Row {
  return {
    raise: RAISED_BEFORE,
    reopen: whilePresent(state),
    escalate: whilePresent(state),
    reconsider: whilePresent(state),
    clear: whileAbsent(state),
    acknowledge: SET_ASIDE,
    shelve: SET_ASIDE,
    unshelve: NOT_SHELVED,
    'shelf-expired': NOT_SHELVED,
    'hand-on': ASKS_NOBODY,
    ...out,
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
 * What sets alarms aside by itself:
 * - suppression by design takes what asks for attention now. What is acknowledged, shelved or has
 *   cleared asks nobody, and is left as it is, so that no answer is lost to a suppression;
 * - out of service takes every alarm that is not over, a shelf ends with it;
 * - from both an alarm returns as from the shelf: to unacknowledged while its condition is present,
 *   else to normal, also when it was acknowledged before. The standard knows no way from there to
 *   acknowledged, and rightly: nobody followed the alarm meanwhile, and whoever put the unit back
 *   into service has to see what it still has;
 * - what rises in priority meanwhile stays set aside. Whether it may is not the table's to say: see
 *   `suppressedBy`.
 *
 * Handing on says `not me`: the alarm asks on, whoever is next. Only what asks can be handed on.
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
    'hand-on': ASKS_NOBODY,
    suppress: ASKS_NOBODY,
    unsuppress: NOT_SUPPRESSED,
    'take-out-of-service': never('it is back to normal; there is nothing to take out of service'),
    'return-to-service': IN_SERVICE,
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
    'hand-on': whilePresent('unacknowledged'),
    suppress: whilePresent('suppressed'),
    unsuppress: NOT_SUPPRESSED,
    'take-out-of-service': TAKEN_OUT,
    'return-to-service': IN_SERVICE,
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
    'hand-on': ASKS_NOBODY,
    suppress: ASKS_NOBODY,
    unsuppress: NOT_SUPPRESSED,
    'take-out-of-service': TAKEN_OUT,
    'return-to-service': IN_SERVICE,
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
    'hand-on': never('its condition is gone; acknowledge it'),
    suppress: never('its condition is gone; nothing follows from it'),
    unsuppress: NOT_SUPPRESSED,
    'take-out-of-service': TAKEN_OUT,
    'return-to-service': IN_SERVICE,
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
    unshelve: BACK,
    'shelf-expired': BACK,
    'hand-on': ASKS_NOBODY,
    suppress: ASKS_NOBODY,
    unsuppress: NOT_SUPPRESSED,
    'take-out-of-service': TAKEN_OUT,
    'return-to-service': IN_SERVICE,
    revise: byCondition('shelved', 'shelved'),
    withdraw: WITHDRAW,
  },
  suppressed: silencedRow('suppressed', {
    suppress: never('it is suppressed already'),
    unsuppress: BACK,
    'take-out-of-service': TAKEN_OUT,
    'return-to-service': IN_SERVICE,
  }),
  'out-of-service': silencedRow('out-of-service', {
    suppress: never('it is out of service'),
    unsuppress: NOT_SUPPRESSED,
    'take-out-of-service': never('it is out of service already'),
    'return-to-service': BACK,
  }),
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
