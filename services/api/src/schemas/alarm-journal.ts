import { ALARM_EVENTS, ALARM_STATES, type AlarmEvent, type AlarmState } from '@lineside/alarms';
import { PRIORITIES, type Priority } from '@lineside/anomaly';
import { z } from 'zod';
import { timeText } from './time-fields.ts';

export interface AlarmJournalJson {
  readonly sequence: number;
  readonly time: string;
  readonly event: AlarmEvent;
  readonly from: AlarmState | null;
  readonly to: AlarmState;
  readonly by: string;
  readonly note: string | null;
  readonly priority: Priority;
  readonly standing: boolean;
}

/** One line of an alarm's journal: what happened, who did it and why. */
export const alarmJournalSchema: z.ZodType<AlarmJournalJson> = z
  .object({
    sequence: z.number().describe('Rises through the journal of all alarms.'),
    time: timeText.describe('Event time for what a watch found, else when somebody did it.'),
    event: z.enum(ALARM_EVENTS),
    from: z.enum(ALARM_STATES).nullable(),
    to: z.enum(ALARM_STATES),
    by: z.string().describe('watch, clock, or the name of the person or token.'),
    note: z.string().nullable().describe('Why, or what they said.'),
    priority: z.enum(PRIORITIES).describe('Afterwards.'),
    standing: z.boolean().describe('Afterwards.'),
  })
  .meta({ id: 'AlarmJournalEntry' });
