import { CAUGHT_UP_WITHIN_MS } from './late-truth.ts';
import type { KeptAsk, StepState } from './step-state.ts';

/** Event time that a unit is judged through; null when that is not known. */
export type JudgedThrough = (site: string, unit: string) => number | null;

/** Lets alarms from a backlog ask from now on whose unit has caught up. */
export function askCaughtUp(
  asks: Map<string, KeptAsk>,
  judgedThroughMs: JudgedThrough,
  nowMs: number,
): void {
  for (const [id, ask] of asks) {
    if (!mayAsk(ask, judgedThroughMs, nowMs)) continue;
    const { onceCaughtUpFromMs: _, ...rest } = ask;
    asks.set(id, { ...rest, asking: { ...rest.asking, askingSinceMs: nowMs }, dueAtMs: nowMs });
  }
}

/** True when a step would let an alarm ask whose unit has caught up. */
export function hasCaughtUp(
  { asks }: StepState,
  judgedThroughMs: JudgedThrough,
  nowMs: number,
): boolean {
  for (const ask of asks.values()) if (mayAsk(ask, judgedThroughMs, nowMs)) return true;
  return false;
}

/** When to look at an ask again: one that may ask soon, should its unit catch up, not later. */
export function lookAgainMs(
  { onceCaughtUpFromMs }: KeptAsk,
  dueAtMs: number | null,
  nowMs: number,
): number | null {
  if (onceCaughtUpFromMs === undefined || onceCaughtUpFromMs <= nowMs) return dueAtMs;
  return dueAtMs === null ? onceCaughtUpFromMs : Math.min(dueAtMs, onceCaughtUpFromMs);
}

function mayAsk(ask: KeptAsk, judgedThroughMs: JudgedThrough, nowMs: number): boolean {
  const { onceCaughtUpFromMs, asking, alarm } = ask;
  if (onceCaughtUpFromMs === undefined || onceCaughtUpFromMs > nowMs) return false;
  if (asking.askingSinceMs <= nowMs) return false;
  const throughMs = judgedThroughMs(alarm.site, alarm.unit);
  return throughMs !== null && nowMs - throughMs <= CAUGHT_UP_WITHIN_MS;
}
