import { section } from '@lineside/written-file';
import { z } from 'zod';
import { escalation } from './escalation/policy-schema.ts';
import { CALLS, type Rota, type Rotation, type SecondCall } from './rota.ts';
import {
  date,
  dateTime,
  flag,
  id,
  list,
  name,
  time,
  weekday,
  whole,
  zone,
} from './schema-parts.ts';

/**
 * The shape of a rota file. What names something else, and whether it exists, is checked after it,
 * in `check-rota.ts`.
 */

/** Bounds far above a service company's rota; they stop a file made by mistake. */
const PEOPLE_MOST = 1000;
const TEAMS_MOST = 200;
const SITES_MOST = 10_000;
const CONTACTS_MOST = 10;
const ROTATIONS_MOST = 200;
const IN_ROTATION_MOST = 100;
const CHANGES_MOST = 10_000;
const CALENDARS_MOST = 20;
const HOLIDAYS_MOST = 1000;
/** A turn of a year; longer ones are no rotation. */
const TURN_MOST_WEEKS = 52;
const REVISION_MOST = 1_000_000_000;

const contacts = list(id, 1, CONTACTS_MOST, 'ids of contact points');

const person = section({ id, name, contacts });

const office = section({ name: name.default('Office'), contacts });

const holiday = section({ name, date, lastDate: date.optional() }).transform((day) => ({
  ...day,
  lastDate: day.lastDate ?? day.date,
}));

const calendar = section({ id, days: list(holiday, 1, HOLIDAYS_MOST, 'holidays') });

const rotation = section({
  from: date,
  handOver: section({ weekday, time }),
  turnWeeks: whole(1, TURN_MOST_WEEKS).default(1),
  people: list(id, 0, IN_ROTATION_MOST, 'people'),
});

const offset = section({ offset: whole(1, IN_ROTATION_MOST) });

const rotations = list(rotation, 1, ROTATIONS_MOST, 'rotations');

const secondWords = 'a list of rotations, or an offset such as { offset: 1 }';
const second = z.union([rotations, offset], { error: secondWords }).nullable().default(null);

const turnsWords = 'a list of people, or an offset such as { offset: 1 }';
const teamHolidays = section({
  calendar: id,
  startsAt: time.default('00:00'),
  first: list(id, 1, IN_ROTATION_MOST, 'people'),
  second: z
    .union([list(id, 1, IN_ROTATION_MOST, 'people'), offset], { error: turnsWords })
    .nullable()
    .default(null),
});

const callWords = `one of ${CALLS.join(', ')}`;
const call = z.enum(CALLS, { error: callWords });

const cover = section({
  id,
  kind: z.literal('cover'),
  call: call.nullable().default(null),
  for: id,
  by: id,
  from: dateTime,
  to: dateTime,
  calledOff: flag.default(false),
});

const swapSide = section({ person: id, shift: date });

const swap = section({
  id,
  kind: z.literal('swap'),
  call: call.default('first'),
  one: swapSide,
  other: swapSide,
  calledOff: flag.default(false),
});

const changeWords = 'a change of the kind cover or swap';
const change = z.discriminatedUnion('kind', [cover, swap], { error: changeWords });

const team = section({
  id,
  name,
  zone,
  sites: list(id, 0, SITES_MOST, 'sites').default([]),
  takesOtherSites: flag.default(false),
  // None for a team whose rotations name nobody, as a rota that was kept then says.
  members: list(id, 0, PEOPLE_MOST, 'people').optional(),
  first: rotations,
  second,
  holidays: list(teamHolidays, 0, CALENDARS_MOST, 'holiday calendars').default([]),
  changes: list(change, 0, CHANGES_MOST, 'covers and swaps').default([]),
}).transform((stated) => ({
  ...stated,
  members: [...new Set(stated.members ?? peopleIn(stated.first, stated.second))],
}));

/** Everybody who has a turn in the rotations of a team, each once. */
function peopleIn(first: readonly Rotation[], second: SecondCall): readonly string[] {
  const own = second === null || 'offset' in second ? [] : second;
  return [...first, ...own].flatMap(({ people }) => people);
}

/** Everything in a rota file. */
export const rotaFile: z.ZodType<Rota> = section({
  revision: whole(0, REVISION_MOST).default(0),
  people: list(person, 1, PEOPLE_MOST, 'people'),
  office,
  holidays: list(calendar, 0, CALENDARS_MOST, 'holiday calendars').default([]),
  teams: list(team, 1, TEAMS_MOST, 'teams'),
  escalation,
});
