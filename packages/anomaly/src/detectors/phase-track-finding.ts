import { diagnose, marksText, type Seen } from '../diagnosis/diagnose.ts';
import type { FindingChange, Priority } from '../vocabulary.ts';
import { evidenceNumber } from './figures.ts';
import type { PhaseExtra } from './phase-track.ts';

/** Two phases that a track may join, and the one that it leaves alone. */
const PHASE_PAIRS = [
  ['a', 'b', 'c'],
  ['b', 'c', 'a'],
  ['c', 'a', 'b'],
] as const;

/** The detector raises only what shows both. */
const PHASE_TRACK_MARKS: readonly Seen[] = ['two-phases-alike-at-rest', 'only-when-wet'];

/** Words, numbers and causes of a track from pole to pole. */
export function phaseTrackFinding(
  change: 'opened' | 'escalated',
  priority: Priority,
  atMs: number,
  { pair, amps, restAmps }: PhaseExtra,
  wettings: number,
): FindingChange {
  const [first, second] = PHASE_PAIRS[pair] ?? PHASE_PAIRS[0];
  const names = `${first.toUpperCase()} and ${second.toUpperCase()}`;
  return {
    change,
    kind: 'phase-track',
    priority,
    atMs,
    // Near the sensor's floor it is hundredths of an ampere.
    headline: `${evidenceNumber(amps)} A between phases ${names} at rest, only when wet`,
    evidence: {
      extraAmps: evidenceNumber(amps),
      restAmps: evidenceNumber(restAmps),
      phases: `${first}${second}`,
      wettingsSeen: wettings,
      side: 'line',
      marks: marksText(PHASE_TRACK_MARKS),
    },
    causes: diagnose('phase-track', PHASE_TRACK_MARKS),
  };
}
