import { type AlarmJson, alarmJsonSchema, SHELVE_REASON_MOST_CHARACTERS } from '@lineside/alarms';
import { FINDING_KINDS, type FindingKind } from '@lineside/anomaly';
import { z } from 'zod';
import { type PageQuery, pageFields } from './page.ts';
import { SPAN_FAULT, type Span, spanIsForward, timeMs } from './time-fields.ts';

/** An alarm as it looks everywhere: list, answers to actions, events. */
export const alarmSchema: z.ZodType<AlarmJson> = alarmJsonSchema.meta({ id: 'Alarm' });

export interface AlarmListQuery extends PageQuery, Span {
  readonly state?: 'standing' | 'open' | undefined;
  readonly site?: string | undefined;
  readonly unit?: string | undefined;
  readonly kind?: FindingKind | undefined;
  readonly withdrawn: boolean;
}

export const alarmListQuery: z.ZodType<AlarmListQuery> = z
  .object({
    state: z
      .enum(['standing', 'open'], { error: 'must be standing or open' })
      .optional()
      .describe('standing: its condition is present, in any state; open: not yet normal.'),
    site: z.string().optional(),
    unit: z.string().optional(),
    kind: z.enum(FINDING_KINDS, { error: `must be one of ${FINDING_KINDS.join(', ')}` }).optional(),
    from: timeMs.optional().describe('With to: alarms that overlap [from, to).'),
    to: timeMs.optional(),
    withdrawn: z
      .enum(['true', 'false'], { error: 'must be true or false' })
      .transform((text) => text === 'true')
      .default(false)
      .describe('true lists withdrawn alarms too.'),
    ...pageFields,
  })
  .refine(spanIsForward, SPAN_FAULT);

export interface AlarmParams {
  readonly id: string;
}

export const alarmParams: z.ZodType<AlarmParams> = z.object({ id: z.string() });

export interface ShelveBody {
  /** Wall-clock end, ms. */
  readonly until: number;
  readonly reason: string;
}

export const shelveBody: z.ZodType<ShelveBody> = z
  .object({
    until: timeMs.describe('When it comes off the shelf by itself.'),
    reason: z
      .string({ error: 'must say why' })
      .trim()
      .min(1, { error: 'must say why' })
      .max(SHELVE_REASON_MOST_CHARACTERS, {
        error: `must be at most ${SHELVE_REASON_MOST_CHARACTERS} characters`,
      }),
  })
  .meta({ id: 'Shelving' });
