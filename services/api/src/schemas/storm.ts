import { FINDING_KINDS, PRIORITIES, WETTING_SOURCES } from '@lineside/anomaly';
import { TIMELINE_KINDS, VISIT_TURNS } from '@lineside/review';
import { z } from 'zod';
import type { StormJson, StormReviewJson } from '../answers/storm-json.ts';
import { type PageQuery, pageFields } from './page.ts';
import { SPAN_FAULT, type Span, spanIsForward, timeMs, timeText } from './time-fields.ts';

/** Days that a list of storms reaches back when the request names no `from`. */
export const STORMS_DEFAULT_DAYS = 400;

export interface StormListQuery extends PageQuery, Span {
  readonly site?: string | undefined;
}

export const stormListQuery: z.ZodType<StormListQuery> = z
  .object({
    site: z.string().optional().describe('Storms that touched a unit of this site.'),
    from: timeMs
      .optional()
      .describe(
        `With to: storms that overlap [from, to). Default: ${STORMS_DEFAULT_DAYS} days before to.`,
      ),
    to: timeMs.optional().describe('Default: now.'),
    ...pageFields,
  })
  .refine(spanIsForward, SPAN_FAULT);

export interface StormParams {
  readonly id: string;
}

export const stormParams: z.ZodType<StormParams> = z.object({
  id: z
    .string()
    .describe(
      'Where and when it first touched; ids of before late data moved that still lead to it.',
    ),
});

const number = z.number();
const numberOrNull = number.nullable();
const lines = z.array(z.string());
const place = { site: z.string(), unit: z.string() };

const weather = z.object({
  site: z.string().describe('Site of the outdoor station that tells most.'),
  rainMillimetres: numberOrNull,
  snowMillimetres: numberOrNull.describe('As water.'),
  highestWindMetresPerSecond: numberOrNull,
  lowestCelsius: numberOrNull,
  highestCelsius: numberOrNull,
});

const stormFields = {
  id: z.string(),
  name: z.string().describe('What it was and where, a few words.'),
  start: timeText.describe('When it touched the first unit.'),
  end: timeText.nullable().describe('When the last compartment was dry; null while it goes on.'),
  lastTouch: timeText.describe('When it touched the last unit.'),
  sites: z
    .array(
      z.object({
        site: z.string(),
        name: z.string(),
        timezone: z.string().describe('IANA time zone.'),
        units: number.int(),
      }),
    )
    .describe('Sites with units that it touched, those with most first.'),
  touchedUnits: number.int(),
  watchedUnits: number.int().describe('Units watched in its region.'),
  because: lines.describe('What makes it a storm and not damp weather.'),
  weather: weather.nullable().describe('null without an outdoor station.'),
};

/** A storm as it is listed. */
export const stormSchema: z.ZodType<StormJson> = z.object(stormFields).meta({ id: 'Storm' });

const wetting = z.object({
  start: timeText,
  peak: timeText,
  end: timeText.nullable(),
  source: z.enum(WETTING_SOURCES),
  wetHours: number,
});

const alarm = z.object({
  id: z.string(),
  kind: z.enum(FINDING_KINDS),
  priority: z.enum(PRIORITIES),
  headline: z.string(),
  raised: timeText,
  cleared: timeText.nullable(),
  acknowledged: timeText.nullable(),
  acknowledgedBy: z.string().nullable(),
  minutesToAcknowledge: numberOrNull,
});

const unit = z.object({
  ...place,
  siteName: z.string(),
  name: z.string(),
  access: z.string().nullable(),
  wetHours: number,
  source: z.enum(WETTING_SOURCES).nullable().describe('The worst of its wettings.'),
  wettings: z.array(wetting),
  dryingHours: numberOrNull.describe('From the wettest moment until dry, of the longest.'),
  isWet: z.boolean().describe('Whether a wetting goes on.'),
  peakMilliamps: numberOrNull.describe(
    'Highest leakage reading, until a day after the unit was dry.',
  ),
  highestMomentMilliamps: numberOrNull.describe('Highest within a reporting interval, where sent.'),
  usualMilliamps: numberOrNull,
  usualBasis: z.enum(['learned-dry-day', 'lowest-of-three-days-before']).nullable(),
  excessMilliamps: numberOrNull.describe('Peak above usual.'),
  alarms: z.array(alarm),
  highestPriority: z.enum(PRIORITIES).nullable(),
  minutesToAcknowledge: numberOrNull.describe('The longest of its acknowledged alarms.'),
  unacknowledged: number.int(),
  fuses: z.object({
    replaced: number.int().nullable().describe('null: replaced, number not recorded.'),
    phases: lines,
    suspected: z.boolean().describe('Whether an alarm has open fuses as most probable cause.'),
  }),
  visit: z.object({
    turn: z.enum(VISIT_TURNS),
    because: z.string(),
    bring: lines,
    checks: lines,
    steps: lines,
  }),
});

const hour = z.object({
  start: timeText,
  rainMillimetres: numberOrNull,
  snowMillimetres: numberOrNull,
  windMetresPerSecond: numberOrNull,
  lowestCelsius: numberOrNull,
  highestCelsius: numberOrNull,
});

/** One storm in full. */
export const stormReviewSchema: z.ZodType<StormReviewJson> = z
  .object({
    ...stormFields,
    headline: z.string(),
    units: z.array(unit).describe('In order of harm, the most harmed first.'),
    dampUnits: number.int().describe('Units at its sites that were only damp.'),
    timeline: z.object({
      lines: z
        .array(
          z.object({ ...place, time: timeText, kind: z.enum(TIMELINE_KINDS), words: z.string() }),
        )
        .describe('Oldest first.'),
      leftOut: number.int().describe('Lines left out of a long story, those that matter least.'),
    }),
    weatherHours: z
      .object({ site: z.string(), hours: z.array(hour) })
      .nullable()
      .describe('By the hour, from a day before; null without an outdoor station.'),
    bag: z
      .array(z.object({ thing: z.string(), units: z.array(z.object(place)) }))
      .describe('What all visits together ask for.'),
    cautions: lines,
  })
  .meta({ id: 'StormReview' });
