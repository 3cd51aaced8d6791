import { saturationOverWaterPascals } from '@lineside/physics';
import type { LeakageSlice } from './leakage-slice.ts';
import type { OutdoorSlice } from './outdoor.ts';
import type { PhaseLossSlice } from './phase-loss.ts';
import type { PhaseTrackSlice } from './phase-track.ts';
import type { RepeatFuseSlice } from './repeat-fuse.ts';
import type { WetnessSlice } from './wetness.ts';

/** What is known of a unit at the reading that first showed it dead. */
export interface BeforeTheLoss {
  readonly leakage: Pick<LeakageSlice, 'standing'>;
  /** Of the reading before: whoever opens a compartment changes its air at once. */
  readonly wetness: WetnessSlice;
  readonly outdoor: Pick<OutdoorSlice, 'rainAtMs'>;
  readonly repeatFuse: Pick<RepeatFuseSlice, 'replacements'>;
  readonly phaseLoss: Pick<PhaseLossSlice, 'lostAtMs' | 'standing'>;
  readonly phaseTrack: Pick<PhaseTrackSlice, 'standing'>;
}

const HOUR_MS = 3_600_000;
/** A phase that was lost so long ago belongs to the same fault. */
const LOST_MEMORY_MS: number = 24 * HOUR_MS;
/** What a film leaves when it dries conducts on for so long. Common practice, no source. */
const FILM_MEMORY_MS: number = HOUR_MS;
/** Nobody washes coils in the rain, nor so soon after. Common practice, no source. */
const RAIN_MEMORY_MS: number = 3 * HOUR_MS;

/**
 * Whether anything speaks for fuses rather than for a disconnect that somebody opened.
 *
 * Fuses open by a fault, and a fault announces itself: leakage that is raised (a surge just before
 * is looked at apart), a phase that was lost, fuses that were replaced lately without a root cause,
 * or water. Between poles a track takes no leakage to ground, so that water alone has to do: a film
 * on the plate, air that reads saturated, rain of the last hours in air that is damp. Common
 * practice, no source. What cannot be seen: a load that grounds in dry weather, at its start,
 * between two readings.
 */
export function speaksForFuses(before: BeforeTheLoss, atMs: number): boolean {
  const { leakage, wetness, outdoor, repeatFuse, phaseLoss, phaseTrack } = before;
  const lately = (thenMs: number | null, memoryMs: number): boolean =>
    thenMs !== null && atMs - thenMs <= memoryMs;
  return (
    leakage.standing !== null ||
    phaseTrack.standing !== null ||
    phaseLoss.standing ||
    repeatFuse.replacements.length > 0 ||
    lately(phaseLoss.lostAtMs, LOST_MEMORY_MS) ||
    lately(wetness.spell.filmAtMs, FILM_MEMORY_MS) ||
    wetness.saturated ||
    (wetness.wet && lately(outdoor.rainAtMs, RAIN_MEMORY_MS))
  );
}

/** Air that is older than this may have changed by itself. */
const AIR_MEMORY_MS: number = HOUR_MS / 4;
/** Less is the sensors' noise, and what walls and dirt give and take. Common practice, no source. */
const VAPOUR_RISE_SHARE = 0.04;

/** Vapour pressure of the newest air, Pa; null where that is too old or makes no sense. */
export function newestVapourPascals(
  { atMs, humidityPercent, celsius }: WetnessSlice,
  nowMs: number,
): number | null {
  if (atMs === null || humidityPercent === null || celsius === null) return null;
  if (nowMs - atMs > AIR_MEMORY_MS) return null;
  return (humidityPercent / 100) * saturationOverWaterPascals(celsius);
}

/**
 * Whether a compartment that has lost its power has been opened or sprayed, by vapour pressure
 * before and now, Pa.
 *
 * A compartment without power has lost its heat: it cools at an unchanged vapour pressure, and
 * what its dirt takes up as it cools lowers that. Vapour that rises within minutes came with the
 * water of a washing, or with damper air through a door. Rain does the same: see `speaksForFuses`.
 */
export function vapourCameIn(beforePascals: number | null, nowPascals: number | null): boolean {
  if (beforePascals === null || nowPascals === null) return false;
  return nowPascals >= (1 + VAPOUR_RISE_SHARE) * beforePascals;
}
