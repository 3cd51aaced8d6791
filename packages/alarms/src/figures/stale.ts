import type { Standing } from './alarm-history.ts';
import { DAY_MS, type FiguresWindow } from './windows.ts';

/** An alarm that stood without a break for longer than this is stale; from memory. */
const STALE_AFTER_MS = DAY_MS;

export interface StaleFigures {
  /** Alarms that were stale at some time of the window. */
  readonly alarms: number;
  /** On the worst day of 24 hours from the window's begin on. */
  readonly onWorstDay: number;
  /** At the end of the window. */
  readonly atEnd: number;
}

/** Stale alarms, shelved ones among them. */
export function staleFigures(standings: readonly Standing[], window: FiguresWindow): StaleFigures {
  const { fromMs, toMs } = window;
  const days = new Array<number>(Math.ceil((toMs - fromMs) / DAY_MS)).fill(0);
  let alarms = 0;
  let atEnd = 0;
  for (const standing of standings) {
    const staleFromMs = Math.max(standing.fromMs + STALE_AFTER_MS, fromMs);
    const staleToMs = Math.min(standing.toMs, toMs);
    if (staleFromMs >= staleToMs) continue;
    alarms += 1;
    if (standing.toMs >= toMs) atEnd += 1;
    const lastDay = Math.ceil((staleToMs - fromMs) / DAY_MS) - 1;
    for (let day = Math.floor((staleFromMs - fromMs) / DAY_MS); day <= lastDay; day += 1) {
      days[day] = (days[day] ?? 0) + 1;
    }
  }
  return { alarms, onWorstDay: days.reduce((most, count) => Math.max(most, count), 0), atEnd };
}
