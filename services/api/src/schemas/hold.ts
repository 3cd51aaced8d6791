import {
  HOLD_OWNER_MOST_CHARACTERS,
  HOLD_REASON_MOST_CHARACTERS,
  type HoldWord,
} from '@lineside/alarms';
import { HOLD_KINDS } from '@lineside/storage';
import { z } from 'zod';
import { timeMs, timeText } from './time-fields.ts';

export interface HoldBody {
  readonly kind: HoldWord;
  readonly owner?: string | undefined;
  readonly reason: string;
  readonly from?: number | undefined;
  readonly until: number;
}

/** What somebody says of a unit whose alarms are to ask nobody for a time. */
export const holdBody: z.ZodType<HoldBody> = z
  .object({
    kind: z
      .enum(HOLD_KINDS, { error: `must be one of ${HOLD_KINDS.join(', ')}` })
      .describe(
        'maintenance: alarms are journalled and shown, nobody is paged, at most 30 days. ' +
          'out-of-service: alarms are set aside with the unit, at most 180 days.',
      ),
    owner: z
      .string({ error: 'must say who answers for it' })
      .trim()
      .max(HOLD_OWNER_MOST_CHARACTERS, {
        error: `must have at most ${HOLD_OWNER_MOST_CHARACTERS} characters`,
      })
      .optional()
      .describe('Who answers for it. Needed for out-of-service; else whoever asks.'),
    reason: z
      .string({ error: 'must say why' })
      .trim()
      .min(1, { error: 'must say why' })
      .max(HOLD_REASON_MOST_CHARACTERS, {
        error: `must have at most ${HOLD_REASON_MOST_CHARACTERS} characters`,
      }),
    from: timeMs.optional().describe('Default now; at most a day back and 90 days ahead.'),
    until: timeMs.describe('When it ends by itself.'),
  })
  .meta({ id: 'HoldRequest' });

export interface HoldJson {
  readonly id: string;
  readonly site: string;
  readonly unit: string;
  readonly kind: HoldWord;
  readonly owner: string;
  readonly reason: string;
  readonly from: string;
  readonly until: string;
  readonly ended: string | null;
  readonly endedBy: string | null;
}

/** A hold of a unit, as it is kept. */
export const holdSchema: z.ZodType<HoldJson> = z
  .object({
    id: z.string(),
    site: z.string(),
    unit: z.string(),
    kind: z.enum(HOLD_KINDS),
    owner: z.string().describe('Who answers for it.'),
    reason: z.string(),
    from: timeText,
    until: timeText.describe('When it ends by itself.'),
    ended: timeText.nullable().describe('When somebody ended it before.'),
    endedBy: z.string().nullable(),
  })
  .meta({ id: 'Hold' });
