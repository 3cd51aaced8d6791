import { Bucket } from './bucket.ts';
import {
  type Level,
  type LevelRule,
  levelIn,
  type RuleContext,
  type ScoreRule,
  type SignalParameters,
} from './level-rule.ts';
import { LEAST_SPREAD, type LoadState } from './signals.ts';

/** `routine` and `urgent` in robust spreads above the median. */
export interface RobustParameters extends SignalParameters {
  /** Length of the history that median and spread are taken from, days. */
  readonly windowDays: number;
}

/**
 * Makes the median absolute deviation a standard deviation where values are normal: 1 / 0.6745.
 * Source: B. Iglewicz, D. C. Hoaglin, How to Detect and Handle Outliers (ASQC 1993); from memory.
 */
const SPREADS_PER_DEVIATION = 1.4826;

const BUCKET_MS: number = 10 * 60_000;
const HISTORY_MS = 3_600_000;
/** The newest day stays out of the history, or a fault would at once become usual. */
const LAG_HOURS = 24;
/** No spread can be told from fewer hours in that state. */
const LEAST_HOURS = 36;

/** Middle value; of an even number the mean of the two in the middle. Sorts `values`. */
export function medianOf(values: Float64Array): number {
  values.sort();
  const middle = values.length >> 1;
  const upper = values[middle] ?? Number.NaN;
  return values.length % 2 === 1 ? upper : (upper + (values[middle - 1] ?? Number.NaN)) / 2;
}

/** Median and robust spread (scaled median absolute deviation). */
export function robustSpread(values: readonly number[]): { median: number; spread: number } {
  const sorted = Float64Array.from(values);
  const median = medianOf(sorted);
  for (let index = 0; index < sorted.length; index += 1) {
    sorted[index] = Math.abs((sorted[index] ?? 0) - median);
  }
  return { median, spread: SPREADS_PER_DEVIATION * medianOf(sorted) };
}

/** Ten-minute means against the hours of the last days, one history for each load state. */
export function robustScore(parameters: RobustParameters, context: RuleContext): LevelRule {
  const histories = {
    idle: new RobustHistory(parameters, context),
    running: new RobustHistory(parameters, context),
  };
  return {
    level: (atMs: number, state: LoadState, value: number) => histories[state].level(atMs, value),
  };
}

/** Robust spreads above the median: what `routine` and `urgent` are held against. */
export function robustScores(parameters: RobustParameters, context: RuleContext): ScoreRule {
  const histories = {
    idle: new RobustHistory(parameters, context),
    running: new RobustHistory(parameters, context),
  };
  return {
    score: (atMs: number, state: LoadState, value: number) => {
      histories[state].level(atMs, value);
      return histories[state].score;
    },
  };
}

class RobustHistory {
  /** Spreads above the median; null while it learns. */
  score: number | null = null;
  readonly #parameters: RobustParameters;
  readonly #context: RuleContext;
  readonly #bucket = new Bucket(BUCKET_MS);
  readonly #hour = new Bucket(HISTORY_MS);
  readonly #hours: number[] = [];
  #usual: { median: number; spread: number } | null = null;
  #level: Level = -1;

  constructor(parameters: RobustParameters, context: RuleContext) {
    this.#parameters = parameters;
    this.#context = context;
  }

  level(atMs: number, value: number): Level {
    const hour = this.#hour.add(atMs, value);
    if (hour !== null) this.#remember(hour);
    const mean = this.#bucket.add(atMs, value);
    if (mean === null || this.#usual === null) return this.#level;
    const { median } = this.#usual;
    const spread = Math.max(this.#usual.spread, LEAST_SPREAD[this.#context.signal]);
    this.score = (mean - median) / spread;
    const urgentFrom = median + this.#parameters.urgent * spread;
    this.#level = levelIn(
      {
        routine: median + this.#parameters.routine * spread,
        urgent: urgentFrom,
        emergency: Math.max(this.#context.emergencyLimit, urgentFrom),
      },
      mean,
    );
    return this.#level;
  }

  #remember(hour: number): void {
    this.#hours.push(hour);
    const most = 24 * this.#parameters.windowDays + LAG_HOURS;
    if (this.#hours.length > most) this.#hours.shift();
    const known = this.#hours.length - LAG_HOURS;
    if (known >= LEAST_HOURS) this.#usual = robustSpread(this.#hours.slice(0, known));
  }
}
