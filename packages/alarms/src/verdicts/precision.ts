import type { FindingKind } from '@lineside/anomaly';
import { wilsonInterval } from '@lineside/statistics';
import type { Alarm } from '../alarm.ts';

/** `true`: what the alarm said was there. `unclear`: nobody could say. */
export type VerdictWord = 'true' | 'false' | 'unclear';

/** What somebody found of an alarm, as far as it is counted. */
export interface CountedVerdict {
  readonly alarmId: string;
  readonly verdict: VerdictWord;
  readonly by: string;
  readonly atMs: number;
}

/** How many alarms of one kind or site were true. */
export interface PrecisionRow {
  /** The kind or the site; null for all together. */
  readonly name: FindingKind | string | null;
  readonly true: number;
  readonly false: number;
  readonly unclear: number;
  /** Alarms of which nobody said anything: no part of the share. */
  readonly withoutVerdict: number;
  /** True ones of the true and false ones, 0 to 1; null where there are none. */
  readonly share: number | null;
  /** Bounds of the true share by Wilson's score interval, 0 to 1. */
  readonly shareLow: number;
  readonly shareHigh: number;
}

/** How sure the bounds of a share are. */
export const PRECISION_CONFIDENCE = 0.95;

/**
 * Measured precision: the share of alarms that were true, among those that people said so or
 * otherwise of. All together first, then by name. Where several people gave a verdict of one alarm,
 * the newest counts. A withdrawn alarm counts when somebody gave a verdict of it.
 *
 * Few verdicts say little: the interval says how little. Who judges only alarms that surprise makes
 * the share look worse than it is; the alarms without a verdict tell how many that may be.
 *
 * @param alarms each once, in any order.
 * @param verdicts others than of these alarms are passed over.
 */
export function precisionRows(
  alarms: Iterable<Pick<Alarm, 'id' | 'site' | 'kind' | 'withdrawn'>>,
  verdicts: Iterable<CountedVerdict>,
  by: 'kind' | 'site',
): readonly PrecisionRow[] {
  const newest = newestByAlarm(verdicts);
  const all = noCounts();
  const counts = new Map<string, Counts>();
  for (const alarm of alarms) {
    const verdict = newest.get(alarm.id)?.verdict ?? 'withoutVerdict';
    if (alarm.withdrawn && verdict === 'withoutVerdict') continue;
    const own = counts.get(alarm[by]) ?? noCounts();
    counts.set(alarm[by], own);
    own[verdict] += 1;
    all[verdict] += 1;
  }
  const names = [...counts].sort(([one], [other]) => (one < other ? -1 : 1));
  return [rowOf(null, all), ...names.map(([name, count]) => rowOf(name, count))];
}

type Counts = Record<VerdictWord | 'withoutVerdict', number>;

function noCounts(): Counts {
  return { true: 0, false: 0, unclear: 0, withoutVerdict: 0 };
}

function newestByAlarm(verdicts: Iterable<CountedVerdict>): ReadonlyMap<string, CountedVerdict> {
  const newest = new Map<string, CountedVerdict>();
  for (const verdict of verdicts) {
    const known = newest.get(verdict.alarmId);
    if (known === undefined || isNewer(verdict, known)) newest.set(verdict.alarmId, verdict);
  }
  return newest;
}

function isNewer(one: CountedVerdict, other: CountedVerdict): boolean {
  return one.atMs > other.atMs || (one.atMs === other.atMs && one.by > other.by);
}

function rowOf(name: string | null, counts: Counts): PrecisionRow {
  const judged = counts.true + counts.false;
  const { low, high } = wilsonInterval(counts.true, judged, PRECISION_CONFIDENCE);
  const share = judged === 0 ? null : counts.true / judged;
  return { name, ...counts, share, shareLow: low, shareHigh: high };
}
