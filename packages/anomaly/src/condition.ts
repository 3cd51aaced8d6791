import type { LeakageOutlook } from './response/leakage-outlook.ts';
import type { WettingSource } from './vocabulary.ts';

/** What the unit's phase currents say it does. `dead`: not even the idle current flows. */
export type OperatingState = 'running' | 'idle' | 'dead' | 'unknown';

/**
 * A unit's condition as its watch last saw it, for lists and screens. Null means not known: the
 * channel is missing or, for learned values, the baseline is not learned yet.
 */
export interface UnitCondition {
  /** Event time of the newest judged reading. */
  readonly atMs: number;
  readonly operatingState: OperatingState;
  readonly relativeHumidityPercent: number | null;
  /** Surface (plate, else air) temperature minus dew or frost point, K. */
  readonly dewPointMarginKelvin: number | null;
  /** True when the margin comes from the air because the node has no plate sensor. */
  readonly marginInferred: boolean;
  /** Vapour pressure inside minus outside, Pa; null without an outdoor station. */
  readonly vapourPressureExcessPascals: number | null;
  readonly leakageMilliamps: number | null;
  /** NEMA current unbalance in per cent while running on three phases, else null. */
  readonly currentUnbalancePercent: number | null;
  readonly voltageUnbalancePercent: number | null;
  /** The wetting that goes on now, if any. */
  readonly wetting: { readonly sinceMs: number; readonly source: WettingSource } | null;
  /** ISO 9223 hours of wetness within the last 30 days of readings. */
  readonly wetHours30Days: number;
  /** True until a unit's own leakage baseline is learned: only absolute limits apply. */
  readonly learningBaseline: boolean;
  /** Dry- and wet-day leakage, growth and time to the limit; null while nothing was seen. */
  readonly leakageOutlook: LeakageOutlook | null;
}
