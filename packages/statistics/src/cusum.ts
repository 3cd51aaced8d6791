import { requireBetween, requireNumber, requirePositive } from './ranges.ts';

export interface CusumSettings {
  /** What each value may be off without adding up, in standard deviations; half of the shift
   * that matters. 0 or more. */
  readonly slackSigmas: number;
  /** Where a sum signals, in standard deviations; above 0, usually 4 to 5. */
  readonly limitSigmas: number;
  /** Whether the sums start again at 0 after a signal, or go on. */
  readonly resetAfterSignal: boolean;
}

/** Plain data, bounded: survives JSON. */
export interface CusumState {
  /** Sums of excess above and below, in standard deviations, 0 or more. */
  readonly high: number;
  readonly low: number;
  /** Values since each sum was last 0: how long ago the shift began. */
  readonly highRun: number;
  readonly lowRun: number;
  readonly signal: 'up' | 'down' | null;
}

export interface Cusum {
  readonly start: CusumState;
  /** @throws RangeError unless deviationSigmas lies within 1e100. */
  readonly step: (state: CusumState, deviationSigmas: number) => CusumState;
}

const START: CusumState = { high: 0, low: 0, highRun: 0, lowRun: 0, signal: null };

/**
 * The tabular two-sided cusum: small lasting shifts add up until they show. Its input is
 * (value - target) / standard deviation, so that one chart serves all units.
 *
 * Output: a chart whose `step` is pure; some 20 ns each.
 * Source: Page (1954), Biometrika 41, 100-115; tabular form of Montgomery, Introduction to
 * Statistical Quality Control.
 * Errors: RangeError unless slackSigmas is 0 to 100 and limitSigmas is finite and above 0; `step`
 * throws RangeError unless the deviation lies within 1e100.
 */
export function cusum(settings: CusumSettings): Cusum {
  const { slackSigmas, limitSigmas, resetAfterSignal } = settings;
  requireBetween('slackSigmas', slackSigmas, 0, 100);
  requirePositive('limitSigmas', limitSigmas);
  return {
    start: START,
    step: (state, deviationSigmas) => {
      requireNumber('deviationSigmas', deviationSigmas);
      const from = resetAfterSignal && state.signal !== null ? START : state;
      const high = Math.max(0, from.high + deviationSigmas - slackSigmas);
      const low = Math.max(0, from.low - deviationSigmas - slackSigmas);
      return {
        high,
        low,
        highRun: high > 0 ? from.highRun + 1 : 0,
        lowRun: low > 0 ? from.lowRun + 1 : 0,
        signal: signalOf(high, low, limitSigmas),
      };
    },
  };
}

/**
 * How many values the two-sided cusum takes on average to signal after a lasting shift; with shift
 * 0, how many pass between false signals.
 *
 * Output: values, within about 4 % for independent normal values.
 * Source: Siegmund (1985), Sequential Analysis, as in Montgomery, Introduction to Statistical
 * Quality Control.
 * Errors: RangeError as `cusum`, and unless shiftSigmas is -20 to 20.
 */
export function cusumRunLength(
  settings: Pick<CusumSettings, 'slackSigmas' | 'limitSigmas'>,
  shiftSigmas: number,
): number {
  requireBetween('slackSigmas', settings.slackSigmas, 0, 100);
  requirePositive('limitSigmas', settings.limitSigmas);
  requireBetween('shiftSigmas', shiftSigmas, -20, 20);
  const reach = settings.limitSigmas + 1.166;
  const oneSided = (drift: number): number =>
    Math.abs(drift) < 1e-6
      ? reach * reach
      : (Math.expm1(-2 * drift * reach) + 2 * drift * reach) / (2 * drift * drift);
  const up = oneSided(shiftSigmas - settings.slackSigmas);
  const down = oneSided(-shiftSigmas - settings.slackSigmas);
  return 1 / (1 / up + 1 / down);
}

function signalOf(high: number, low: number, limit: number): CusumState['signal'] {
  if (high > limit) return 'up';
  return low > limit ? 'down' : null;
}
