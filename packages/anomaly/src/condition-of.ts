import type { Unit } from '@lineside/fleet';
import type { UnitCondition } from './condition.ts';
import { evidenceNumber } from './detectors/figures.ts';
import { isLearning } from './detectors/leakage-baseline.ts';
import { parametersOf } from './detectors/parameters.ts';
import { wetHoursOf30Days } from './detectors/wetness.ts';
import { wettingSource } from './detectors/wetting-episode.ts';
import { leakageOutlook } from './response/leakage-outlook.ts';
import type { WatchState } from './watch-state.ts';

/** A value that is this much older than the newest reading is not shown as the condition. */
export const CONDITION_STALE_MS = 3_600_000;

/** The unit's condition as of its newest judged reading; null before the first. */
export function conditionOf(state: WatchState, unit: Unit): UnitCondition | null {
  const { instantMs, operating, wetness, level, unbalance } = state;
  if (instantMs === null) return null;
  const recent = (atMs: number | null): boolean =>
    atMs !== null && instantMs - atMs <= CONDITION_STALE_MS;
  const airKnown = recent(wetness.atMs);
  const running = operating.state === 'running' && recent(operating.atMs);
  const { current, voltage } = unbalance;
  const evenSinceRun = current.atMs !== null && current.atMs >= (operating.sinceMs ?? Infinity);
  const { open } = wetness;
  return {
    atMs: instantMs,
    operatingState: recent(operating.atMs) ? operating.state : 'unknown',
    relativeHumidityPercent: airKnown ? wetness.humidityPercent : null,
    dewPointMarginKelvin: airKnown ? evidenceNumber(wetness.marginKelvin) : null,
    marginInferred: airKnown && wetness.marginInferred,
    vapourPressureExcessPascals: airKnown ? evidenceNumber(wetness.excessPascals) : null,
    leakageMilliamps: recent(level.atMs) ? level.milliamps : null,
    currentUnbalancePercent:
      running && evenSinceRun && recent(current.atMs) ? evidenceNumber(current.percent) : null,
    voltageUnbalancePercent: recent(voltage.atMs) ? evidenceNumber(voltage.percent) : null,
    wetting: open === null ? null : { sinceMs: open.startMs, source: wettingSource(open) },
    wetHours30Days: evidenceNumber(wetHoursOf30Days(wetness)),
    learningBaseline: isLearning(state.baseline),
    leakageOutlook: leakageOutlook(state.response, parametersOf(unit)),
  };
}
