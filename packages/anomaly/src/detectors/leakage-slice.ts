import { isTold, type Told } from '../diagnosis/reconsider.ts';
import { type FieldGuards, isBoolean, isNumber, isNumberOrNull, isOneOf } from '../field-guards.ts';
import { PRIORITIES, type Priority } from '../vocabulary.ts';
import type { DwellMs } from './dwell.ts';

/** What is known of an excess of leakage, and of the readings before it. */
export interface LeakageSlice {
  readonly overUrgentReadings: number;
  readonly overEmergencyReadings: number;
  /** Time over the routine limit. */
  readonly overRoutineMs: DwellMs;
  /** First reading of the present excess; null while below the limits. */
  readonly onsetMs: number | null;
  /** The excess came with a load: at a start, or when another stage came on. */
  readonly onsetAtStart: boolean;
  /** The excess came from one reading to the next, from well below, under the same load. */
  readonly onsetStepped: boolean;
  /** The last leakage before the onset and the first of it, mA, and the time between. */
  readonly beforeMilliamps: number | null;
  readonly onsetMilliamps: number | null;
  readonly onsetAfterMs: number | null;
  /** Where the excess has been seen since its onset. */
  readonly overIdle: boolean;
  readonly overRunning: boolean;
  /** The smallest load that ran with the excess, A. */
  readonly overAmps: number | null;
  /** The most humid film with the excess, %RH. */
  readonly wettestPercent: number | null;
  /** The lowest closing level that applied to the excess, mA above what is healthy. */
  readonly closingMilliamps: number | null;
  /** Low leakage has been seen since the onset with less load, or none. */
  readonly lowWithLessLoad: boolean;
  /** Time spent below the closing level under loads that would show the excess. */
  readonly belowMs: number | null;
  /** Since when every reading, in whatever state, was below the closing level. */
  readonly belowSinceMs: number | null;
  readonly firstAtMs: number | null;
  readonly atMs: number | null;
  readonly lastMilliamps: number | null;
  readonly lastAmps: number | null;
  /** The newest time that load went off: leakage just before and just after. */
  readonly loadOffAtMs: number | null;
  readonly loadOffFromMilliamps: number;
  readonly loadOffToMilliamps: number;
  readonly standing: Priority | null;
  /** It was raised under load before it was known what is healthy there. */
  readonly raisedUnlearned: boolean;
  /** When the newest finding ended, and how many before it came back within weeks. */
  readonly closedAtMs: number | null;
  readonly returns: number;
  readonly told: Told | null;
}

export const NONE_OVER: Pick<LeakageSlice, 'overUrgentReadings' | 'overEmergencyReadings'> = {
  overUrgentReadings: 0,
  overEmergencyReadings: 0,
};

/** All that is known of an excess, forgotten. */
export const NO_EXCESS: Omit<
  LeakageSlice,
  | 'closedAtMs'
  | 'returns'
  | 'overRoutineMs'
  | 'firstAtMs'
  | 'atMs'
  | 'lastMilliamps'
  | 'lastAmps'
  | 'loadOffAtMs'
  | 'loadOffFromMilliamps'
  | 'loadOffToMilliamps'
> = {
  ...NONE_OVER,
  onsetMs: null,
  onsetAtStart: false,
  onsetStepped: false,
  beforeMilliamps: null,
  onsetMilliamps: null,
  onsetAfterMs: null,
  overIdle: false,
  overRunning: false,
  overAmps: null,
  wettestPercent: null,
  closingMilliamps: null,
  lowWithLessLoad: false,
  belowMs: null,
  belowSinceMs: null,
  standing: null,
  raisedUnlearned: false,
  told: null,
};

export const LEAKAGE_START: LeakageSlice = {
  ...NO_EXCESS,
  closedAtMs: null,
  returns: 0,
  overRoutineMs: null,
  firstAtMs: null,
  atMs: null,
  lastMilliamps: null,
  lastAmps: null,
  loadOffAtMs: null,
  loadOffFromMilliamps: 0,
  loadOffToMilliamps: 0,
};

export const LEAKAGE_FIELDS: FieldGuards<LeakageSlice> = {
  overUrgentReadings: isNumber,
  overEmergencyReadings: isNumber,
  overRoutineMs: isNumberOrNull,
  onsetMs: isNumberOrNull,
  onsetAtStart: isBoolean,
  onsetStepped: isBoolean,
  beforeMilliamps: isNumberOrNull,
  onsetMilliamps: isNumberOrNull,
  onsetAfterMs: isNumberOrNull,
  overIdle: isBoolean,
  overRunning: isBoolean,
  overAmps: isNumberOrNull,
  wettestPercent: isNumberOrNull,
  closingMilliamps: isNumberOrNull,
  lowWithLessLoad: isBoolean,
  belowMs: isNumberOrNull,
  belowSinceMs: isNumberOrNull,
  firstAtMs: isNumberOrNull,
  atMs: isNumberOrNull,
  lastMilliamps: isNumberOrNull,
  lastAmps: isNumberOrNull,
  loadOffAtMs: isNumberOrNull,
  loadOffFromMilliamps: isNumber,
  loadOffToMilliamps: isNumber,
  standing: isOneOf([null, ...PRIORITIES]),
  raisedUnlearned: isBoolean,
  closedAtMs: isNumberOrNull,
  returns: isNumber,
  told: isTold,
};
