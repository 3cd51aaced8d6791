import type { BystanderLimits } from './limits.ts';

/** What is kept of one part; plain JSON. */
export interface PartWatch {
  /** Since when it is not well; null while it is. */
  readonly brokenSinceMs: number | null;
  /** Since when it is well again; null while it is not, and when it was never broken. */
  readonly wellSinceMs: number | null;
  /** When its trouble was last told; null when nobody heard of it. */
  readonly toldAtMs: number | null;
  /** How often it was told. */
  readonly timesTold: number;
}

export const WELL: PartWatch = {
  brokenSinceMs: null,
  wellSinceMs: null,
  toldAtMs: null,
  timesTold: 0,
};

/** How a part looks at one moment. */
export type Look =
  | { readonly is: 'well' }
  /** Nothing can be said of it now: what is kept of it stays. */
  | { readonly is: 'unknown' }
  | { readonly is: 'broken'; readonly sinceMs: number; readonly tellAfterMs: number };

/** What is to be told of a part. */
type PartNews = 'stopped' | 'works-again' | null;

export interface PartStep {
  readonly watch: PartWatch;
  readonly news: PartNews;
}

/** One look at one part. */
export function stepPart(
  watch: PartWatch,
  look: Look,
  nowMs: number,
  limits: Pick<BystanderLimits, 'settledForMs' | 'tellAgainMs'>,
): PartStep {
  if (look.is === 'unknown') return { watch: { ...watch, wellSinceMs: null }, news: null };
  if (look.is === 'well') return stepWell(watch, nowMs, limits.settledForMs);
  const brokenSinceMs = watch.brokenSinceMs ?? look.sinceMs;
  const broken = { ...watch, brokenSinceMs, wellSinceMs: null };
  const { toldAtMs } = watch;
  const isDue =
    toldAtMs === null
      ? nowMs - brokenSinceMs >= look.tellAfterMs
      : nowMs - toldAtMs >= limits.tellAgainMs;
  if (!isDue) return { watch: broken, news: null };
  const told = { ...broken, toldAtMs: nowMs, timesTold: watch.timesTold + 1 };
  return { watch: told, news: 'stopped' };
}

function stepWell(watch: PartWatch, nowMs: number, settledForMs: number): PartStep {
  if (watch.brokenSinceMs === null) return { watch: WELL, news: null };
  const wellSinceMs = watch.wellSinceMs ?? nowMs;
  if (nowMs - wellSinceMs < settledForMs) return { watch: { ...watch, wellSinceMs }, news: null };
  return { watch: WELL, news: watch.toldAtMs === null ? null : 'works-again' };
}
