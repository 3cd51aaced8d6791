import type { Alarm } from '@lineside/alarms';
import { otherLimits, type StatedLimits, type Unit } from '@lineside/fleet';
import type { RecordStore } from '@lineside/storage';
import { END_OF_TIMES_MS } from '../judging/all-times.ts';
import { eventsOf } from './prepare-replay.ts';
import type { Replayer } from './replayer.ts';

export interface OtherwiseParts {
  readonly records: Pick<RecordStore, 'serviceBetween'>;
  readonly replayer: Replayer;
}

/**
 * The alarms that a unit's stored readings would have raised with other limits. Nothing is written.
 * It begins with the first stored reading, since what a watch has learned is part of its judgement.
 * `silent` is not among them: when messages came in is not stored.
 *
 * @returns alarms that overlap [fromMs, toMs), in order of `raisedAtMs`.
 */
export async function judgeOtherwise(
  { records, replayer }: OtherwiseParts,
  unit: Unit,
  stated: StatedLimits,
  { fromMs, toMs }: { readonly fromMs: number; readonly toMs: number },
): Promise<readonly Alarm[]> {
  const ref = { site: unit.site, unit: unit.id };
  const limits = otherLimits(unit.limits, stated);
  const services = await records.serviceBetween(ref, 0, Math.min(toMs, END_OF_TIMES_MS));
  const { alarms } = await replayer.replay({
    ref,
    settings: [{ fromMs: 0, unit: { ...unit, limits } }],
    base: null,
    throughMs: toMs - 1,
    services: eventsOf(services),
  });
  return alarms
    .filter(({ clearedAtMs }) => (clearedAtMs ?? Infinity) > fromMs)
    .sort((one, other) => one.raisedAtMs - other.raisedAtMs);
}
