import type { FigureRow } from '@lineside/alarms';
import { z } from 'zod';
import { SPAN_FAULT, type Span, spanIsForward, timeMs, timeText } from './time-fields.ts';

export const figuresQuery: z.ZodType<Span> = z
  .object({
    from: timeMs.optional().describe('Default: 30 days before to; at most 366.'),
    to: timeMs.optional().describe('Default: now.'),
  })
  .refine(spanIsForward, SPAN_FAULT);

export interface FiguresJson {
  readonly from: string;
  readonly to: string;
  readonly items: readonly FigureRow[];
}

const target = z.object({
  kind: z.enum(['at-most', 'about']),
  value: z.number(),
  manageable: z.number().nullable(),
  source: z.string(),
});

const row: z.ZodType<FigureRow> = z
  .object({
    scope: z.enum(['fleet', 'site', 'position']).describe('position: the team that answers.'),
    name: z.string().describe('The site or position; empty for the fleet.'),
    figure: z.string(),
    value: z.number().nullable().describe('null where there is nothing to take it from.'),
    unit: z.enum(['alarms', 'spans', 'floods', 'share', 'min', 'alarm points']),
    target: target.nullable().describe('What is published for it, and where.'),
  })
  .meta({ id: 'AlarmFigure' });

export const figuresSchema: z.ZodType<FiguresJson> = z
  .object({ from: timeText, to: timeText, items: z.array(row) })
  .meta({ id: 'AlarmFigures' });
