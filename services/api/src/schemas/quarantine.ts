import { z } from 'zod';
import { timeText } from './time-fields.ts';

export interface QuarantineJson {
  readonly time: string;
  readonly topic: string;
  readonly code: string;
  readonly reason: string;
  readonly payload: string;
}

/** A message that was refused, whole or in part. */
export const quarantineSchema: z.ZodType<QuarantineJson> = z
  .object({
    time: timeText.describe('Time of receipt.'),
    topic: z.string(),
    code: z.string(),
    reason: z.string(),
    payload: z.string().describe('The first 4 KiB of the message, base64.'),
  })
  .meta({ id: 'QuarantineEntry' });
