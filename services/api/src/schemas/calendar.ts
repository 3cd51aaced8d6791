import { z } from 'zod';

export interface CalendarAddressJson {
  readonly path: string;
  readonly shows: 'own' | 'all';
}

export const calendarAddressSchema: z.ZodType<CalendarAddressJson> = z
  .object({
    path: z
      .string()
      .describe('Path of the calendar on this server. Secret; it is shown this once.'),
    shows: z
      .enum(['own', 'all'])
      .describe('own: the shifts of who asked; all: of everybody, for who takes none.'),
  })
  .meta({ id: 'CalendarAddress' });

export interface CalendarParams {
  readonly file: string;
}

const FILE_RULE = 'must be the address as it was given out';

export const calendarParams: z.ZodType<CalendarParams> = z.object({
  file: z
    .string()
    .regex(/^[A-Za-z0-9_-]{20,80}\.ics$/, { error: FILE_RULE })
    .describe('The secret of the address, and `.ics`.'),
});
