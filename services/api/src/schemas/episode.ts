import { WETTING_SOURCES, type WettingSource } from '@lineside/anomaly';
import { z } from 'zod';
import { type PageQuery, pageFields } from './page.ts';
import { SPAN_FAULT, type Span, spanIsForward, timeMs, timeText } from './time-fields.ts';

export interface EpisodeJson {
  readonly site: string;
  readonly unit: string;
  readonly start: string;
  readonly peak: string;
  readonly end: string | null;
  readonly source: WettingSource;
  readonly wetHours: number;
}

/** One wetting of a compartment. */
export const episodeSchema: z.ZodType<EpisodeJson> = z
  .object({
    site: z.string(),
    unit: z.string(),
    start: timeText,
    peak: timeText,
    end: timeText.nullable().describe('null while it goes on.'),
    source: z.enum(WETTING_SOURCES),
    wetHours: z.number(),
  })
  .meta({ id: 'Episode' });

export interface EpisodeQuery extends PageQuery, Span {}

export const episodeQuery: z.ZodType<EpisodeQuery> = z
  .object({
    from: timeMs.optional().describe('With to: wettings that overlap [from, to).'),
    to: timeMs.optional(),
    ...pageFields,
  })
  .refine(spanIsForward, SPAN_FAULT);
