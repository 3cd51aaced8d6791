import { countsByStretch, DAY_MS, type FiguresWindow, highest, SPAN_MS } from './windows.ts';

/** A 10-minute span with more alarms than this is more than one person can follow: IEC 62682. */
export const SPAN_ALARMS_MOST = 10;

export interface AlarmRates {
  readonly alarms: number;
  readonly perDayMean: number;
  /** Of the days of 24 hours from the window's begin on. */
  readonly perDayPeak: number;
  readonly perTenMinutesMean: number;
  /** Of the 10-minute spans of UTC. */
  readonly perTenMinutesPeak: number;
  /** 10-minute spans of UTC that the window touches. */
  readonly spans: number;
  readonly spansOverTen: number;
}

/** @param timesMs of the annunciations within the window. */
export function alarmRates(timesMs: readonly number[], window: FiguresWindow): AlarmRates {
  const { fromMs, toMs } = window;
  const bySpan = countsByStretch(timesMs, 0, SPAN_MS);
  const lengthMs = toMs - fromMs;
  return {
    alarms: timesMs.length,
    perDayMean: (timesMs.length * DAY_MS) / lengthMs,
    perDayPeak: highest(countsByStretch(timesMs, fromMs, DAY_MS)),
    perTenMinutesMean: (timesMs.length * SPAN_MS) / lengthMs,
    perTenMinutesPeak: highest(bySpan),
    spans: Math.ceil(toMs / SPAN_MS) - Math.floor(fromMs / SPAN_MS),
    spansOverTen: [...bySpan.values()].filter((count) => count > SPAN_ALARMS_MOST).length,
  };
}
