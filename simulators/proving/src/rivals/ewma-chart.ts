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

/** `routine` and `urgent` in spreads of the average. */
export interface EwmaParameters extends SignalParameters {
  /** Weight of the newest value, above 0, up to 1. */
  readonly weight: number;
  /** From how many days of its own each unit learns centre and spread. */
  readonly learningDays: number;
}

/** The next exponentially weighted moving average. */
export function nextAverage(average: number, value: number, weight: number): number {
  return weight * value + (1 - weight) * average;
}

/**
 * Half width of the control band once the chart has run for long: `spreads` times the spread of
 * the average. Source: S. W. Roberts, Technometrics 1 (1959) 239-250; the form is that of the
 * NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.
 */
export function bandHalfWidth(spread: number, weight: number, spreads: number): number {
  return spreads * spread * Math.sqrt(weight / (2 - weight));
}

const BUCKET_MS: number = 10 * 60_000;
const DAY_MS = 86_400_000;
/** No spread can be told from fewer values: five hours in that state. */
const LEAST_VALUES = 30;

/** Upper one-sided chart of ten-minute means, one for each load state. */
export function ewmaChart(parameters: EwmaParameters, context: RuleContext): LevelRule {
  const charts = {
    idle: new EwmaChart(parameters, context),
    running: new EwmaChart(parameters, context),
  };
  return {
    level: (atMs: number, state: LoadState, value: number) => charts[state].level(atMs, value),
  };
}

/** The chart's average in spreads above its centre: what `routine` and `urgent` are held against. */
export function ewmaScore(parameters: EwmaParameters, context: RuleContext): ScoreRule {
  const charts = {
    idle: new EwmaChart(parameters, context),
    running: new EwmaChart(parameters, context),
  };
  return {
    score: (atMs: number, state: LoadState, value: number) => {
      charts[state].level(atMs, value);
      return charts[state].score;
    },
  };
}

class EwmaChart {
  /** Spreads above the centre; null while it learns. */
  score: number | null = null;
  readonly #parameters: EwmaParameters;
  readonly #context: RuleContext;
  readonly #bucket = new Bucket(BUCKET_MS);
  #learnUntilMs: number | null = null;
  #count = 0;
  #mean = 0;
  #squares = 0;
  #average: number | null = null;
  #level: Level = -1;

  constructor(parameters: EwmaParameters, context: RuleContext) {
    this.#parameters = parameters;
    this.#context = context;
  }

  level(atMs: number, value: number): Level {
    this.#learnUntilMs ??= atMs + this.#parameters.learningDays * DAY_MS;
    const mean = this.#bucket.add(atMs, value);
    if (mean === null) return this.#level;
    const learning = atMs < this.#learnUntilMs || this.#count < LEAST_VALUES;
    if (learning) this.#learn(mean);
    else this.#level = this.#chart(mean);
    return this.#level;
  }

  /** Welford's way to mean and variance (1962; from memory). */
  #learn(value: number): void {
    this.#count += 1;
    const off = value - this.#mean;
    this.#mean += off / this.#count;
    this.#squares += off * (value - this.#mean);
  }

  #chart(value: number): Level {
    const { weight, routine, urgent } = this.#parameters;
    const { signal, emergencyLimit } = this.#context;
    this.#average = nextAverage(this.#average ?? this.#mean, value, weight);
    const own = Math.sqrt(this.#squares / (this.#count - 1));
    const spread = Math.max(own, LEAST_SPREAD[signal]);
    const centre = this.#mean;
    this.score = (this.#average - centre) / bandHalfWidth(spread, weight, 1);
    const urgentFrom = centre + bandHalfWidth(spread, weight, urgent);
    return levelIn(
      {
        routine: centre + bandHalfWidth(spread, weight, routine),
        urgent: urgentFrom,
        emergency: Math.max(emergencyLimit, urgentFrom),
      },
      this.#average,
    );
  }
}
