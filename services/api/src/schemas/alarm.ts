import {
  ALARM_NOTE_MOST_CHARACTERS,
  type AlarmJson,
  alarmJsonFields,
  alarmJsonSchema,
  SHELVE_REASON_MOST_CHARACTERS,
} from '@lineside/alarms';
import { FINDING_KINDS, type FindingKind } from '@lineside/anomaly';
import { z } from 'zod';
import type { AlarmAnswer } from '../answers/alarm-answer.ts';
import { type PageQuery, pageFields } from './page.ts';
import { SPAN_FAULT, type Span, spanIsForward, timeMs } from './time-fields.ts';

const lines = z.array(z.string());

/** An alarm as it looks everywhere: list, answers to actions, events. */
export const alarmSchema: z.ZodType<AlarmAnswer> = z
  .object({
    ...alarmJsonFields,
    checks: lines.describe('What to check on site to settle the cause, what settles most first.'),
    bring: lines.describe("What to bring, by the causes and the unit's nameplate."),
    cautions: lines.describe('What to mind there. Local codes and licensed practice come first.'),
  })
  .meta({ id: 'Alarm' });

/** An alarm as it was or would be judged, without advice: nobody goes there for it. */
export const judgedAlarmSchema: z.ZodType<AlarmJson> = alarmJsonSchema.meta({ id: 'JudgedAlarm' });

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

export interface NoteBody {
  readonly note?: string | undefined;
}

/** What somebody says with it; no body at all says nothing. */
export const noteBody: z.ZodType<NoteBody | null | undefined> = z
  .object({
    note: z
      .string({ error: 'must be a text' })
      .trim()
      .max(ALARM_NOTE_MOST_CHARACTERS, {
        error: `must be at most ${ALARM_NOTE_MOST_CHARACTERS} characters`,
      })
      .optional()
      .describe('For the journal, for example: on my way.'),
  })
  .meta({ id: 'AlarmNote' })
  .nullish();

export interface ShelveBody {
  /** Wall-clock end, ms. */
  readonly until: number;
  readonly reason: string;
}

/** Why an alarm is put aside. */
export const shelveReason: z.ZodType<string> = z
  .string({ error: 'must say why' })
  .trim()
  .min(1, { error: 'must say why' })
  .max(SHELVE_REASON_MOST_CHARACTERS, {
    error: `must be at most ${SHELVE_REASON_MOST_CHARACTERS} characters`,
  });

export const shelveBody: z.ZodType<ShelveBody> = z
  .object({
    until: timeMs.describe('When it comes off the shelf by itself.'),
    reason: shelveReason,
  })
  .meta({ id: 'Shelving' });
