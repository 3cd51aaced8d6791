import { type Alarm, applyFinding } from '@lineside/alarms';
import type { Cause, FindingKind, Priority, WettingEpisode } from '@lineside/anomaly';
import type { FaultTruth, UnitRunTruth, WettingTruth } from '@lineside/rooftop';
import type { ObservedUnit } from '../src/index.ts';

export const HOUR_MS = 3_600_000;
export const DAY_MS = 24 * HOUR_MS;
export const START_MS: number = Date.UTC(2026, 0, 5);
/** The run of most examples lasts so long. */
export const DAYS = 100;

/** Days after the start of the run. */
export function day(days: number): number {
  return START_MS + days * DAY_MS;
}

/** A track that shows on day 20, is wet on days 20, 40 and 60, and fails on day 70. */
export const FAILING_TRACK: FaultTruth = {
  fault: 'track-to-ground',
  side: 'line',
  phases: ['a'],
  onsetMs: day(10),
  observableMs: day(20),
  observableWettingsMs: [day(20), day(40), day(60)],
  failureMs: day(70),
  fusesOpened: ['a'],
  endedMs: null,
};

export function fault(fields: Partial<FaultTruth>): FaultTruth {
  return {
    fault: 'load-insulation',
    side: 'load',
    phases: ['b'],
    onsetMs: day(10),
    observableMs: day(11),
    observableWettingsMs: [],
    failureMs: null,
    fusesOpened: [],
    endedMs: null,
    ...fields,
  };
}

export interface StepFields {
  readonly priority: Priority;
  readonly day: number;
  readonly cause?: Cause;
}

/** An alarm from its steps; it clears an hour after the last one unless it says otherwise. */
export function alarm(
  kind: FindingKind,
  steps: readonly [StepFields, ...StepFields[]],
  fields: Partial<Alarm> = {},
): Alarm {
  const priorities = steps.map((step) => ({
    priority: step.priority,
    sinceMs: day(step.day),
    causes: [{ cause: step.cause ?? 'unknown', probability: 0.8, because: [] }],
  }));
  const last = priorities.at(-1)!;
  const ranks: readonly Priority[] = ['routine', 'urgent', 'emergency'];
  const highest = Math.max(...steps.map(({ priority }) => ranks.indexOf(priority)));
  const raised = applyFinding(
    null,
    {
      change: 'opened',
      kind,
      priority: steps[0].priority,
      atMs: day(steps[0].day),
      headline: kind,
      evidence: {},
      causes: last.causes,
    },
    { site: 'test-site', unit: 'rtu-01', newId: () => `${kind}-${day(steps[0].day).toString(36)}` },
  ).at(-1)!.alarm;
  return {
    ...raised,
    priority: ranks[highest]!,
    standing: false,
    clearedAtMs: last.sinceMs + HOUR_MS,
    priorities,
    ...fields,
  };
}

export function wetting(fromDay: number, hours: number, fields: Partial<WettingTruth> = {}) {
  const startMs = day(fromDay);
  return {
    startMs,
    peakMs: startMs,
    endMs: startMs + hours * HOUR_MS,
    source: 'condensation',
    peakFilmGramsPerSquareMetre: 20,
    ...fields,
  } satisfies WettingTruth;
}

export function episode(
  fromDay: number,
  hours: number,
  fields: Partial<WettingEpisode> = {},
): WettingEpisode {
  const startMs = day(fromDay);
  return {
    startMs,
    peakMs: startMs,
    endMs: startMs + hours * HOUR_MS,
    source: 'condensation',
    wetHours: hours,
    evidence: {},
    ...fields,
  };
}

function unitTruth(fields: Partial<UnitRunTruth> = {}): UnitRunTruth {
  const empty = { faults: [], wettings: [], lookAlikes: [], visits: [] };
  return { site: 'test-site', unit: 'rtu-01', ...empty, ...fields };
}

export function observed(
  truth: Partial<UnitRunTruth>,
  alarms: readonly Alarm[] = [],
  episodes: readonly WettingEpisode[] = [],
): ObservedUnit {
  const observedMs = DAYS * DAY_MS;
  return {
    truth: unitTruth(truth),
    alarms,
    episodes,
    observedMs,
    everyMs: 60_000,
    endMs: day(DAYS),
  };
}
