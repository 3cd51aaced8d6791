/** Which buttons an alarm has. */
import type { Answer } from './answer-buttons.tsx';
import type { PageAlarm, PageAlarmDetail } from './page-types.ts';
import { isOnTheWay } from './page-words.ts';

const ON_MY_WAY: Answer = { action: 'on-my-way', words: 'On my way' };
const ACKNOWLEDGE: Answer = { action: 'acknowledge', words: 'Acknowledge' };
const HAND_ON: Answer = { action: 'hand-on', words: 'Hand on' };

/**
 * The answers that the alarm's state allows, the strongest first. Where the roof is dangerous that
 * is not `on my way`: nobody is to be hurried up there.
 */
export function answersFor(
  alarm: PageAlarm,
  detail: PageAlarmDetail | undefined,
  isDangerous: boolean,
): readonly Answer[] {
  if (alarm.withdrawn) return [];
  if (alarm.state === 'returned-unacknowledged') return [ACKNOWLEDGE];
  if (alarm.state === 'acknowledged') return isOnTheWay(detail) ? [] : [ON_MY_WAY];
  if (alarm.state !== 'unacknowledged') return [];
  return isDangerous ? [ACKNOWLEDGE, HAND_ON, ON_MY_WAY] : [ON_MY_WAY, ACKNOWLEDGE, HAND_ON];
}

export const mayPutAside = ({ withdrawn, state }: PageAlarm): boolean =>
  !withdrawn && (state === 'unacknowledged' || state === 'acknowledged');

/** Asks for an answer. */
export const isUnanswered = ({ withdrawn, state }: PageAlarm): boolean =>
  !withdrawn && (state === 'unacknowledged' || state === 'returned-unacknowledged');
