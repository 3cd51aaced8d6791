import type { Alarm } from '@lineside/alarms';
import {
  adviceFor,
  type Cause,
  type CauseEstimate,
  type Plate,
  type WettingSource,
} from '@lineside/anomaly';
import type { UnitEpisode } from './marks.ts';

/** When somebody should go there. `none`: nothing that the storm left asks for it. */
export const VISIT_TURNS = ['first', 'soon', 'next-service', 'none'] as const;
export type VisitTurn = (typeof VISIT_TURNS)[number];

/** What to do at a unit after a storm. */
export interface Visit {
  readonly turn: VisitTurn;
  /** Why then, in words. */
  readonly because: string;
  /** What to carry there, by cause and nameplate; empty when nobody needs to go. */
  readonly bring: readonly string[];
  /** What settles the cause, what settles most first. */
  readonly checks: readonly string[];
  /** What is done, in order. Common practice, no source. */
  readonly steps: readonly string[];
}

export interface VisitReasons {
  readonly alarms: readonly Alarm[];
  readonly episodes: readonly UnitEpisode[];
  readonly source: WettingSource | null;
  readonly excessMilliamps: number | null;
  readonly fusesLostAtLeast: number;
  readonly plate: Plate;
}

/** Excess below this is within what a residual sensor errs by. Common practice, no source. */
const EXCESS_WORTH_A_VISIT_MILLIAMPS = 3;

/** When to go to a unit, with what, and what to do there. */
export function visitFor(reasons: VisitReasons): Visit {
  const { turn, because } = turnFor(reasons);
  if (turn === 'none') return { turn, because, bring: [], checks: [], steps: [] };
  const causes = causesFrom(reasons);
  const advice = adviceFor(asShares(causes), reasons.plate);
  return {
    turn,
    because,
    bring: advice.bring,
    checks: advice.checks,
    steps: repairSteps(causes, reasons.fusesLostAtLeast > 0),
  };
}

interface Turn {
  readonly turn: VisitTurn;
  readonly because: string;
}

function turnFor({ alarms, source, excessMilliamps, fusesLostAtLeast }: VisitReasons): Turn {
  if (fusesLostAtLeast > 0) {
    return {
      turn: 'first',
      because: 'Fuses opened, or so it looks: what opened them is still there',
    };
  }
  if (alarms.some(({ priority }) => priority === 'emergency')) {
    return { turn: 'first', because: 'It raised an emergency' };
  }
  if (alarms.some(({ priority }) => priority === 'urgent')) {
    return { turn: 'soon', because: 'It raised an urgent alarm' };
  }
  const leaked = (excessMilliamps ?? 0) >= EXCESS_WORTH_A_VISIT_MILLIAMPS;
  if (source === 'water-ingress' && leaked) {
    return { turn: 'soon', because: 'Water got in and leakage rose with it' };
  }
  if (source === 'water-ingress') {
    return { turn: 'next-service', because: 'Water got in: find the way in before the next storm' };
  }
  if (leaked) return { turn: 'next-service', because: 'Leakage rose while it was wet' };
  if (alarms.length > 0) return { turn: 'next-service', because: 'It raised an alarm' };
  return { turn: 'none', because: 'Wet, without leakage or alarm' };
}

/** Causes of the unit's alarms, the highest probability of each; else those of its wettings. */
function causesFrom({ alarms, episodes }: VisitReasons): readonly CauseEstimate[] {
  const highest = new Map<Cause, CauseEstimate>();
  const fromWettings = episodes.map(({ episode }): CauseEstimate => {
    const given = episode.evidence['sourceProbability'];
    const probability = typeof given === 'number' ? given : 0.5;
    return { cause: episode.source, probability, because: [] };
  });
  for (const estimate of [...alarms.flatMap(({ causes }) => causes), ...fromWettings]) {
    const known = highest.get(estimate.cause);
    if (known === undefined || estimate.probability > known.probability) {
      highest.set(estimate.cause, estimate);
    }
  }
  return [...highest.values()].sort(
    (one, other) => other.probability - one.probability || (one.cause < other.cause ? -1 : 1),
  );
}

/**
 * Scaled down to sum to 1 where they sum to more: several alarms and wettings each have causes of
 * their own, and what settles a cause is ranked among shares of one.
 */
function asShares(causes: readonly CauseEstimate[]): readonly CauseEstimate[] {
  const sum = causes.reduce((total, { probability }) => total + probability, 0);
  if (sum <= 1) return causes;
  return causes.map((one) => ({ ...one, probability: one.probability / sum }));
}

/** A cause that is less probable asks for no work. A judgement, no source. */
const WORTH_WORK = 0.3;

const TRACKS: readonly Cause[] = ['line-side-track-to-ground', 'pole-to-pole-track'];
const WATER: readonly Cause[] = ['water-ingress'];
const DEW: readonly Cause[] = ['condensation'];
const LOAD: readonly Cause[] = ['load-insulation'];

/** The order of repair. Common practice, no source. */
function repairSteps(causes: readonly CauseEstimate[], lostFuses: boolean): readonly string[] {
  const isLikely = (among: readonly Cause[]): boolean =>
    causes.some(({ cause, probability }) => among.includes(cause) && probability >= WORTH_WORK);
  const isTrack = lostFuses || isLikely(TRACKS);
  return [
    'Lock out upstream, prove the meter, test for absence of voltage, prove the meter again.',
    ...(isLikely(WATER)
      ? ['Find the way in while traces of water show: gasket, conduit entry, wicking stuffing.']
      : []),
    ...(isTrack
      ? [
          'Inspect contactors and back-plate on the line side for tracks, dried and in good light.',
          'Measure insulation of the line side; isolate electronics, arresters and filters before.',
          'Replace parts with tracks, do not just clean them.',
        ]
      : ['Look for tracks on the line side and clean contactors and back-plate.']),
    ...(isLikely(LOAD) ? ['Measure insulation of each load past its contactor.'] : []),
    ...(isLikely(WATER)
      ? [
          'Replace the gasket, seal conduits and openings with neutral-cure sealant, take wicking ' +
            'stuffing out, leave weep holes open.',
        ]
      : []),
    ...(isLikely(DEW) ? ['Check heater, gasket and weep holes; clean the back-plate.'] : []),
    ...(lostFuses
      ? ['Check each new fuse before fitting it: same class, never larger, cause found first.']
      : []),
    'Close out: torque, volts, amps, megohms, photos, and the record of what was found.',
  ];
}
