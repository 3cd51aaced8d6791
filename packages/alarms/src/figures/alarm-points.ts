import type { FindingKind } from '@lineside/anomaly';
import type { Annunciation } from './alarm-history.ts';
import { groupBy } from './group-by.ts';
import { type FiguresWindow, isIn } from './windows.ts';

/** How often an alarm point was presented. */
export interface PointCount {
  readonly site: string;
  readonly unit: string;
  readonly kind: FindingKind;
  readonly alarms: number;
}

/** The ten most frequent alarm points are looked at: IEC 62682. */
const MOST_FREQUENT_MOST = 10;

/** Chattering: so many occurrences of one alarm point within `CHATTER_WITHIN_MS`; from memory. */
const CHATTER_OCCURRENCES = 3;
const CHATTER_WITHIN_MS = 60_000;

/** The most frequent alarm points, most frequent first. */
export function mostFrequent(annunciations: readonly Annunciation[]): readonly PointCount[] {
  const points = [...byPoint(annunciations).values()];
  return countsOf(points).slice(0, MOST_FREQUENT_MOST);
}

/**
 * Alarm points that chattered, most often presented first: three occurrences or more within a
 * minute of event time, the last of them in the window. A rise of priority is no occurrence.
 *
 * @param annunciations in order of time, also those of the minute before the window.
 */
export function chatteringPoints(
  annunciations: readonly Annunciation[],
  window: FiguresWindow,
): readonly PointCount[] {
  const points = byPoint(annunciations.filter(({ isRise }) => !isRise)).values();
  return countsOf([...points].filter((point) => chatters(point, window)));
}

function chatters(point: readonly Annunciation[], window: FiguresWindow): boolean {
  return point.some(({ atMs }, index) => {
    const first = point[index - CHATTER_OCCURRENCES + 1];
    return isIn(window, atMs) && first !== undefined && atMs - first.atMs <= CHATTER_WITHIN_MS;
  });
}

function byPoint(annunciations: readonly Annunciation[]): Map<string, Annunciation[]> {
  return groupBy(annunciations, ({ point }) => point);
}

function countsOf(points: readonly (readonly Annunciation[])[]): readonly PointCount[] {
  return points
    .flatMap((point) => {
      const [first] = point;
      return first === undefined ? [] : [{ first, alarms: point.length }];
    })
    .sort((a, b) => b.alarms - a.alarms || (a.first.point < b.first.point ? -1 : 1))
    .map(({ first: { site, unit, kind }, alarms }) => ({ site, unit, kind, alarms }));
}
