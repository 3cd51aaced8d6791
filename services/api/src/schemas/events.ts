import { z } from 'zod';
import { alarmSchema } from './alarm.ts';
import { type ConditionJson, conditionFields } from './condition.ts';
import { timeText } from './time-fields.ts';

const readingEvent = z
  .object({ site: z.string(), unit: z.string(), time: timeText })
  .catchall(z.number())
  .describe('Channels beside site, unit and time, in the units of the channel table.')
  .meta({ id: 'ReadingEvent' });

/** Data of a `condition` event. */
export interface ConditionEventJson extends ConditionJson {
  readonly site: string;
  readonly unit: string;
}

const conditionEvent = z
  .object({ site: z.string(), unit: z.string(), ...conditionFields })
  .meta({ id: 'ConditionEvent' });

/** Where the document describes what stands behind `data:`, by type of event. */
export const EVENT_DATA: Readonly<Record<'reading' | 'condition' | 'alarm', object>> = {
  reading: pointer(readingEvent),
  condition: pointer(conditionEvent),
  alarm: pointer(alarmSchema),
};

function pointer(schema: z.ZodType): object {
  return { $ref: `#/components/schemas/${schema.meta()?.id}` };
}
