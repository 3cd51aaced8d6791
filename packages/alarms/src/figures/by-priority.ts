import { PRIORITIES, type Priority } from '@lineside/anomaly';
import { quantile } from '@lineside/statistics';
import type { Annunciation } from './alarm-history.ts';

export interface PriorityFigures {
  readonly alarms: number;
  /** Of all alarms, 0 to 1; null without alarms. */
  readonly share: number | null;
  readonly acknowledged: number;
  /**
   * From the annunciation, in event time, to the acknowledgement by the clock on the wall: what
   * came late has its delay in it. Null while none is acknowledged.
   */
  readonly acknowledgedAfterMedianMs: number | null;
  readonly acknowledgedAfter90PercentMs: number | null;
}

/** @param annunciations within the window. */
export function figuresByPriority(
  annunciations: readonly Annunciation[],
): Readonly<Record<Priority, PriorityFigures>> {
  const of = (priority: Priority): PriorityFigures => {
    const same = annunciations.filter((one) => one.priority === priority);
    const answersMs = same.flatMap(({ answeredAfterMs: ms }) => (ms === null ? [] : [ms]));
    const at = (share: number): number | null =>
      answersMs.length === 0 ? null : quantile(answersMs, share);
    return {
      alarms: same.length,
      share: annunciations.length === 0 ? null : same.length / annunciations.length,
      acknowledged: answersMs.length,
      acknowledgedAfterMedianMs: at(0.5),
      acknowledgedAfter90PercentMs: at(0.9),
    };
  };
  const [routine, urgent, emergency] = PRIORITIES;
  return { [routine]: of(routine), [urgent]: of(urgent), [emergency]: of(emergency) };
}
