import {
  type LeakageEstimate,
  type LeakageGrowth,
  type LeakageOutlook,
  type OperatingState,
  type RepairComparison,
  type TimeToLimit,
  WETTING_SOURCES,
  type WettingSource,
} from '@lineside/anomaly';
import { z } from 'zod';
import { timeText } from './time-fields.ts';

export interface LeakageOutlookJson extends Omit<LeakageOutlook, 'repair'> {
  readonly repair: (Omit<RepairComparison, 'repairedAtMs'> & { readonly repaired: string }) | null;
}

export interface ConditionJson {
  readonly time: string;
  readonly operatingState: OperatingState;
  readonly relativeHumidityPercent: number | null;
  readonly dewPointMarginKelvin: number | null;
  readonly marginInferred: boolean;
  readonly vapourPressureExcessPascals: number | null;
  readonly leakageMilliamps: number | null;
  readonly currentUnbalancePercent: number | null;
  readonly voltageUnbalancePercent: number | null;
  readonly wetting: { readonly since: string; readonly source: WettingSource } | null;
  readonly wetHours30Days: number;
  readonly learningBaseline: boolean;
  readonly leakageOutlook: LeakageOutlookJson | null;
}

const estimate: z.ZodType<LeakageEstimate> = z.object({
  milliamps: z.number(),
  lowerMilliamps: z.number(),
  upperMilliamps: z.number(),
  extrapolated: z.boolean().describe('True when nothing so humid, or so dry, was seen.'),
});

const growth: z.ZodType<LeakageGrowth> = z.object({
  milliampsPerWeek: z.number(),
  lowerMilliampsPerWeek: z.number().nullable(),
  upperMilliampsPerWeek: z.number().nullable(),
  weeks: z.number(),
});

const timeToLimit: z.ZodType<TimeToLimit> = z.object({
  days: z.number(),
  soonestDays: z.number().nullable(),
  latestDays: z.number().nullable().describe('null: perhaps never.'),
});

const leakageOutlook: z.ZodType<LeakageOutlookJson> = z
  .object({
    seenFromPercent: z.number().describe('Driest film that was seen, %RH.'),
    seenToPercent: z.number().describe('Wettest film that was seen, %RH.'),
    dryDay: estimate.nullable().describe('Leakage at 50 %RH, with limits for nine days of ten.'),
    wetDay: estimate.nullable().describe('Leakage at 95 %RH, with limits for nine days of ten.'),
    missingBands: z
      .array(z.object({ fromPercent: z.number(), toPercent: z.number() }))
      .describe('Humidities of the film that it has yet to see, %RH; empty once learned.'),
    basis: z
      .enum(['rest', 'running'])
      .describe('running: rest was not seen, so the sensor error under load is in all figures.'),
    dryGrowth: growth.nullable(),
    wetGrowth: growth.nullable(),
    timeToLimit: timeToLimit.nullable().describe('Until wet days bring the emergency limit.'),
    side: z
      .enum(['line', 'load', 'undetermined'])
      .nullable()
      .describe('Where the leak is that humidity brings out; null while nothing rises with it.'),
    loadMilliampsPerAmp: z.number().nullable().describe('What the load adds to the reading.'),
    milliampsPerKelvin: z.number().nullable().describe('At rest in dry films.'),
    wetPeakRatio: z.number().nullable().describe('In wet films: maximum over mean of an interval.'),
    wetBurstShare: z.number().nullable().describe('Share of wet readings with bursts.'),
    repair: z
      .object({
        repaired: timeText,
        dryBeforeMilliamps: z.number().nullable(),
        wetBeforeMilliamps: z.number().nullable(),
        wetGrowthBeforeMilliampsPerWeek: z.number().nullable(),
        matched: z
          .object({
            humidityPercent: z.number(),
            beforeMilliamps: z.number(),
            afterMilliamps: z.number(),
          })
          .nullable()
          .describe('At the most humid film that was seen before and after.'),
        testedByWeather: z.boolean(),
      })
      .nullable(),
  })
  .meta({ id: 'LeakageOutlook' });

/** What a unit's condition consists of; shared with the `condition` event. */
export const conditionFields: {
  readonly [key in keyof ConditionJson]: z.ZodType<ConditionJson[key]>;
} = {
  time: timeText.describe('Event time of the newest judged reading.'),
  operatingState: z.enum(['running', 'idle', 'dead', 'unknown']),
  relativeHumidityPercent: z.number().nullable(),
  dewPointMarginKelvin: z.number().nullable(),
  marginInferred: z.boolean().describe('True when the margin comes from the air, not the plate.'),
  vapourPressureExcessPascals: z.number().nullable(),
  leakageMilliamps: z.number().nullable(),
  currentUnbalancePercent: z.number().nullable(),
  voltageUnbalancePercent: z.number().nullable(),
  wetting: z.object({ since: timeText, source: z.enum(WETTING_SOURCES) }).nullable(),
  wetHours30Days: z.number().describe('ISO 9223 hours of wetness in the last 30 days.'),
  learningBaseline: z.boolean(),
  leakageOutlook: leakageOutlook.nullable(),
};

export const condition: z.ZodType<ConditionJson> = z
  .object(conditionFields)
  .meta({ id: 'Condition' });
