import { ID_PATTERN, ID_RULE } from '@lineside/readings';
import { z } from 'zod';
import {
  DATE_TIME_PATTERN,
  isDate,
  isZone,
  TIME_PATTERN,
  WEEKDAYS,
  type Weekday,
} from './local-time.ts';

/** Parts that the rota and its policy are made of. Each message says what is expected. */

/** Longest name; it must fit a table and a lock screen. */
const NAME_MOST_CHARACTERS = 100;

export const id: z.ZodType<string> = z
  .string({ error: ID_RULE })
  .regex(ID_PATTERN, { error: ID_RULE });

const nameWords = `one line of 1 to ${NAME_MOST_CHARACTERS} characters`;
export const name: z.ZodType<string> = z
  .string({ error: nameWords })
  .min(1, { error: nameWords })
  .max(NAME_MOST_CHARACTERS, { error: nameWords })
  .regex(/^\P{Cc}*$/u, { error: nameWords });

const zoneWords = 'an IANA time zone such as America/Halifax';
export const zone: z.ZodType<string> = z
  .string({ error: zoneWords })
  .refine(isZone, { error: zoneWords });

const dateWords = 'a date such as 2026-01-05';
export const date: z.ZodType<string> = z
  .string({ error: dateWords })
  .refine(isDate, { error: dateWords });

const timeWords = 'a local time from "00:00" to "23:59"';
export const time: z.ZodType<string> = z
  .string({ error: timeWords })
  .regex(TIME_PATTERN, { error: timeWords });

const dateTimeWords = 'a local date and time such as 2026-01-05T08:00';
export const dateTime: z.ZodType<string> = z
  .string({ error: dateTimeWords })
  .regex(DATE_TIME_PATTERN, { error: dateTimeWords })
  .refine((text) => isDate(text.slice(0, 10)), { error: dateTimeWords });

export const weekday: z.ZodType<Weekday> = z.enum(WEEKDAYS, {
  error: `one of ${WEEKDAYS.join(', ')}`,
});

export const flag: z.ZodType<boolean> = z.boolean({ error: 'true or false' });

/** A whole number within bounds. */
export function whole(lowest: number, highest: number): z.ZodNumber {
  const error = `a whole number from ${lowest} to ${highest}`;
  return z.int({ error }).min(lowest, { error }).max(highest, { error });
}

/** A list within bounds. */
export function list<Item extends z.ZodType>(
  item: Item,
  fewest: number,
  most: number,
  what: string,
): z.ZodArray<Item> {
  const error = `a list of ${fewest} to ${most} ${what}`;
  return z.array(item, { error }).min(fewest, { error }).max(most, { error });
}
