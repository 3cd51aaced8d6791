import type { Alarm } from '@lineside/alarms';
import type { WettingEpisode } from '@lineside/anomaly';
import type { RunTruth, UnitRunTruth } from '@lineside/rooftop';

/** What a judge said about one unit. */
export interface UnitFindings {
  readonly site: string;
  readonly unit: string;
  readonly alarms: readonly Alarm[];
  readonly episodes: readonly WettingEpisode[];
  /** Time in which the unit was watched, ms; null: the whole run. */
  readonly observedMs: number | null;
  /** Between two readings of its node, ms; a minute when not given. */
  readonly everyMs?: number;
}

/** One unit's truth beside what a judge said. */
export interface ObservedUnit {
  readonly truth: UnitRunTruth;
  readonly alarms: readonly Alarm[];
  readonly episodes: readonly WettingEpisode[];
  readonly observedMs: number;
  /** Between two readings of its node, ms. */
  readonly everyMs: number;
  /** End of the run, ms. */
  readonly endMs: number;
}

export const MINUTE_MS = 60_000;
export const HOUR_MS: number = 60 * MINUTE_MS;
export const DAY_MS: number = 24 * HOUR_MS;
/** A Julian year. */
export const YEAR_MS: number = 365.25 * DAY_MS;
export const MONTH_MS: number = YEAR_MS / 12;

/**
 * Puts each unit's truth beside what a judge said about it. A unit that nothing is said about had
 * no alarm and no episode.
 *
 * @throws RangeError when something is said about a unit that the run does not have, or twice.
 */
export function observedUnits(run: RunTruth, findings: readonly UnitFindings[]): ObservedUnit[] {
  const left = new Map<string, UnitFindings>();
  for (const said of findings) {
    const key = `${said.site}/${said.unit}`;
    if (left.has(key)) throw new RangeError(`the findings of ${key} are there twice`);
    left.set(key, said);
  }
  const observed = run.units.map((truth) => {
    const key = `${truth.site}/${truth.unit}`;
    const said = left.get(key);
    left.delete(key);
    return {
      truth,
      alarms: said?.alarms ?? [],
      episodes: said?.episodes ?? [],
      observedMs: said?.observedMs ?? run.endMs - run.startMs,
      everyMs: said?.everyMs ?? MINUTE_MS,
      endMs: run.endMs,
    };
  });
  const [unknown] = left.keys();
  if (unknown !== undefined) throw new RangeError(`the run has no unit ${unknown}`);
  return observed;
}
