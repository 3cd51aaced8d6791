import { clockTime, dayOf, localParts } from '../words/times.ts';

const DAY_MS = 86_400_000;

/**
 * Labels of the time axis: clock times, with the day at midnight and, `dayAtFirst`, below the
 * first label; whole days only when the marks are a day or more apart.
 */
export function timeLabels(
  marksMs: readonly number[],
  stepMs: number,
  zone: string,
  nowMs: number,
  dayAtFirst: boolean,
): readonly string[] {
  return marksMs.map((atMs, index) => {
    const day = dayOf(atMs, zone, nowMs);
    if (stepMs >= DAY_MS) return day;
    const { hour, minute } = localParts(atMs, zone);
    if (hour === 0 && minute === 0) return day;
    const time = clockTime(atMs, zone);
    return index === 0 && dayAtFirst ? `${time}\n${day}` : time;
  });
}
