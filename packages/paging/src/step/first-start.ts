import type { Alarm } from '@lineside/alarms';
import { firstAsk } from './hear.ts';
import { emptyStepState, type StepState } from './step-state.ts';

/**
 * Where paging begins over a journal that is there already: each alarm that stands unanswered asks
 * from now on, once. What was answered, or has ended, is history.
 */
export function asksOfOpenAlarms(alarms: readonly Alarm[], nowMs: number): StepState {
  const asks = alarms.flatMap((alarm) => {
    const ask = alarm.withdrawn ? null : firstAsk(alarm, nowMs);
    return ask === null ? [] : [[alarm.id, ask] as const];
  });
  return { ...emptyStepState(), asks: new Map(asks), nowMs };
}
