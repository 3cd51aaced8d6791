import type { FindingChange, Priority } from '../vocabulary.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import type { PhaseExtra } from './phase-track.ts';

/** Two phases that a track may join, and the one that it leaves alone. */
export const PHASE_PAIRS = [
  ['a', 'b', 'c'],
  ['b', 'c', 'a'],
  ['c', 'a', 'b'],
] as const;

/** Words, numbers and causes of a track from pole to pole; the probabilities are judgement. */
export function phaseTrackFinding(
  change: 'opened' | 'escalated',
  priority: Priority,
  atMs: number,
  { pair, amps, restAmps }: PhaseExtra,
  wettings: number,
): FindingChange {
  const [first, second] = PHASE_PAIRS[pair] ?? PHASE_PAIRS[0];
  return {
    change,
    kind: 'phase-track',
    priority,
    atMs,
    headline: `${shortNumber(amps)} A between phases ${first} and ${second} at rest, only when wet`,
    evidence: {
      extraAmps: evidenceNumber(amps),
      restAmps: evidenceNumber(restAmps),
      phases: `${first}${second}`,
      wettingsSeen: wettings,
      side: 'line',
    },
    causes: [
      {
        cause: 'pole-to-pole-track',
        probability: 0.75,
        because: [
          'two phases carry the same extra with all contactors open',
          'it comes and goes with the wet film, in more than one wetting',
        ],
      },
      {
        cause: 'unknown',
        probability: 0.25,
        because: ['a heater that runs on damp nights only would look like it'],
      },
    ],
  };
}
