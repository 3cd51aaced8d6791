import type { MarkName } from '../diagnosis/evidence-table.ts';
import type { LeakageSlice } from './leakage-slice.ts';
import type { MoistureSlice } from './moisture.ts';
import type { PhaseTrackSlice } from './phase-track.ts';
import { type WetnessSlice, wetHoursOf30Days } from './wetness.ts';

/** What a watch knows of a unit whose fuses were replaced. */
export interface KnownBesideFuses {
  readonly leakage: Pick<LeakageSlice, 'standing' | 'told' | 'atMs' | 'firstAtMs' | 'closedAtMs'>;
  readonly moisture: Pick<MoistureSlice, 'told'>;
  readonly phaseTrack: Pick<PhaseTrackSlice, 'standing'>;
  readonly wetness: WetnessSlice;
}

/** So long without a finding, humid hours among it, says that nothing leaks; no source. */
const QUIET_MS: number = 14 * 86_400_000;
const WET_HOURS = 3;
/** A node that the unit feeds is silent until its fuses are replaced; a sensor for longer has failed. */
const SEEN_MS: number = 3 * 86_400_000;

/** Findings of the unit, or their absence, as marks for what opened its fuses. */
export function besideFuses(known: KnownBesideFuses, nowMs: number): readonly MarkName[] {
  const place = placeOfLeakage(known, nowMs);
  const marks: readonly MarkName[] = place === null ? [] : [place];
  return known.phaseTrack.standing === null ? marks : [...marks, 'pole-track-stands'];
}

function placeOfLeakage(
  { leakage, moisture, wetness }: KnownBesideFuses,
  nowMs: number,
): MarkName | null {
  const told = leakage.standing === null ? moisture.told : leakage.told;
  if (told?.cause === 'line-side-track-to-ground') return 'line-leakage-stands';
  if (told?.cause === 'load-insulation') return 'load-leakage-stands';
  const { standing, atMs, firstAtMs, closedAtMs } = leakage;
  if (standing !== null || atMs === null || firstAtMs === null) return null;
  if (nowMs - atMs > SEEN_MS) return null;
  const quietSinceMs = Math.max(firstAtMs, closedAtMs ?? firstAtMs);
  const isQuiet = nowMs - quietSinceMs >= QUIET_MS && wetHoursOf30Days(wetness) >= WET_HOURS;
  return isQuiet ? 'nothing-leaks' : null;
}
