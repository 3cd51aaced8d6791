import type { PrecisionRow } from '@lineside/alarms';
import { CAUSES, type Cause, FINDING_KINDS, type FindingKind } from '@lineside/anomaly';
import { VERDICTS, type VerdictWord } from '@lineside/storage';
import { z } from 'zod';
import { SPAN_FAULT, type Span, spanIsForward, timeMs, timeText } from './time-fields.ts';

/** A page of what was found on site, no more. */
const FOUND_MOST_CHARACTERS = 2_000;

export interface VerdictBody {
  readonly verdict: VerdictWord;
  readonly found: string;
  readonly cause?: Cause | null | undefined;
}

/** What somebody found of an alarm. */
export const verdictBody: z.ZodType<VerdictBody> = z
  .object({
    verdict: z
      .enum(VERDICTS, { error: `must be one of ${VERDICTS.join(', ')}` })
      .describe('true: what the alarm said was there. unclear: nobody could say.'),
    found: z
      .string({ error: 'must be a text' })
      .trim()
      .max(FOUND_MOST_CHARACTERS, {
        error: `must have at most ${FOUND_MOST_CHARACTERS} characters`,
      })
      .default('')
      .describe('What was found on site.'),
    cause: z
      .enum(CAUSES, { error: `must be one of ${CAUSES.join(', ')}` })
      .nullish()
      .describe('The cause as found; absent or null when it is not known.'),
  })
  .meta({ id: 'VerdictEntry' });

export interface VerdictJson {
  readonly alarm: string;
  readonly verdict: VerdictWord;
  readonly found: string;
  readonly cause: string | null;
  readonly by: string;
  readonly time: string;
}

const verdictFields = {
  alarm: z.string().describe('Id of the alarm.'),
  verdict: z.enum(VERDICTS),
  found: z.string(),
  cause: z.string().nullable(),
  by: z.string(),
  time: timeText,
};

/** A verdict, as it is kept. */
export const verdictSchema: z.ZodType<VerdictJson> = z
  .object(verdictFields)
  .meta({ id: 'Verdict' });

/** A labelled case: a verdict with what it takes to find the alarm in another judging. */
export interface LabelledCaseJson extends VerdictJson {
  readonly site: string;
  readonly unit: string;
  readonly kind: FindingKind;
  readonly raised: string;
  readonly cleared: string | null;
}

/** What a back-test takes: one item a line. */
export const labelledCaseSchema: z.ZodType<LabelledCaseJson> = z
  .object({
    ...verdictFields,
    site: z.string(),
    unit: z.string(),
    kind: z.enum(FINDING_KINDS),
    raised: timeText,
    cleared: timeText.nullable(),
  })
  .meta({ id: 'LabelledCase' });

export interface PrecisionQuery extends Span {
  readonly by: 'kind' | 'site';
}

export const precisionQuery: z.ZodType<PrecisionQuery> = z
  .object({
    from: timeMs.optional().describe('Alarms raised in [from, to). Default: 90 days before to.'),
    to: timeMs.optional().describe('Default: now.'),
    by: z.enum(['kind', 'site'], { error: 'must be kind or site' }).default('kind'),
  })
  .refine(spanIsForward, SPAN_FAULT);

export interface PrecisionJson {
  readonly from: string;
  readonly to: string;
  readonly by: 'kind' | 'site';
  readonly confidence: number;
  readonly items: readonly PrecisionRow[];
}

const count = z.number();

export const precisionSchema: z.ZodType<PrecisionJson> = z
  .object({
    from: timeText,
    to: timeText,
    by: z.enum(['kind', 'site']),
    confidence: z.number().describe('Of the interval, 0 to 1.'),
    items: z.array(
      z.object({
        name: z.string().nullable().describe('The kind or site; null for all together.'),
        true: count,
        false: count,
        unclear: count,
        withoutVerdict: count.describe('Nobody said anything of them; no part of the share.'),
        share: z.number().nullable().describe('true of true and false, 0 to 1.'),
        shareLow: z.number().describe("Wilson's score interval."),
        shareHigh: z.number(),
      }),
    ),
  })
  .meta({ id: 'Precision' });
