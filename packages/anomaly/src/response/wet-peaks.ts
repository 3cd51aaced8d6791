import { type FieldGuard, isNullOr, isNumberOrNull } from '../field-guards.ts';
import { precise } from './running-level.ts';

/**
 * What a wet film does faster than readings come: the interval's maximum over its mean, and how
 * often dry bands burst. Only from nodes that send `leakmax` or `bursts`.
 */
export type WetPeaks = readonly [
  peakRatio: number | null,
  /** Share of wet readings with a burst. */
  burstShare: number | null,
];

/** A wet film, %RH. */
const WET_FILM_PERCENT = 80;
/** Five hours of wet film. */
const SHARE_A_READING: number = 1 / 60;
/** A start within the interval is no burst of a film. */
const MOST_RATIO = 20;
/** Less tells nothing of a ratio, mA. */
const LEAST_MILLIAMPS = 0.2;

export const isWetPeaks: FieldGuard = isNullOr(
  (peaks) => Array.isArray(peaks) && peaks.length === 2 && peaks.every(isNumberOrNull),
);

interface PeakReading {
  readonly milliamps: number;
  readonly peakMilliamps: number | null;
  readonly bursts: number | null;
  readonly filmPercent: number;
}

export function nextWetPeaks(
  peaks: WetPeaks | null,
  { milliamps, peakMilliamps, bursts, filmPercent }: PeakReading,
): WetPeaks | null {
  if (filmPercent < WET_FILM_PERCENT || (peakMilliamps === null && bursts === null)) return peaks;
  const [ratio, share] = peaks ?? [null, null];
  const seen =
    peakMilliamps === null || milliamps < LEAST_MILLIAMPS
      ? null
      : Math.min(Math.max(peakMilliamps / milliamps, 1), MOST_RATIO);
  return [followed(ratio, seen), followed(share, bursts === null ? null : Math.min(bursts, 1))];
}

function followed(before: number | null, now: number | null): number | null {
  if (now === null) return before;
  return before === null ? precise(now) : precise(before + SHARE_A_READING * (now - before));
}
