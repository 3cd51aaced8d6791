/**
 * Rotas at random: teams in zones with and without changes of clocks, and whatever people arrange.
 */
import { parseRotaFile, type Rota } from '@lineside/oncall';
import fc from 'fast-check';

export const ZONES = [
  'Europe/Berlin',
  'America/Halifax',
  'America/St_Johns',
  'Australia/Lord_Howe',
  'Asia/Kathmandu',
];

const PEOPLE = ['ana', 'ben', 'cyd', 'dov', 'eve'];
const WEEKDAYS = ['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday'];

/** 2026-01-05 is a Monday. */
const FIRST_MONDAY_MS = Date.UTC(2026, 0, 5);
const DAY_MS = 86_400_000;

/** What the properties look at: from before the first rotation to after both changes of clocks. */
export const YEAR_FROM_MS: number = Date.UTC(2025, 11, 20);
export const YEAR_TO_MS: number = Date.UTC(2027, 0, 10);

function dateOf(days: number): string {
  return new Date(FIRST_MONDAY_MS + days * DAY_MS).toISOString().slice(0, 10);
}

/** Any minute, and often one that a change of clocks leaves out or has twice. */
const time = fc
  .oneof(
    fc.integer({ min: 0, max: 1439 }),
    fc.constantFrom(60, 75, 90, 105, 120, 135, 149, 150, 165, 180),
  )
  .map((minute) => new Date(minute * 60_000).toISOString().slice(11, 16));

const person = fc.constantFrom(...PEOPLE);

function rotation(fewestPeople: number) {
  return fc
    .record({
      week: fc.integer({ min: 0, max: 40 }),
      weekday: fc.integer({ min: 0, max: 6 }),
      time,
      turnWeeks: fc.constantFrom(1, 1, 1, 2, 3),
      people: fc.uniqueArray(person, { minLength: fewestPeople, maxLength: 4 }),
    })
    .map(({ week, weekday, time, turnWeeks, people }) => ({
      from: dateOf(week * 7 + weekday),
      handOver: { weekday: WEEKDAYS[weekday], time },
      turnWeeks,
      people,
    }));
}

/** Often beginning in the first week, so that most of the year has somebody. */
function rotations(fewestPeople: number) {
  return fc
    .uniqueArray(rotation(fewestPeople), {
      minLength: 1,
      maxLength: 3,
      selector: ({ from }) => from,
    })
    .map((list) => list.toSorted((a, b) => (a.from < b.from ? -1 : 1)));
}

const holidays = fc.uniqueArray(fc.integer({ min: 0, max: 50 }), { maxLength: 5 }).chain((weeks) =>
  fc.record({
    weeks: fc.constant(weeks.toSorted((a, b) => a - b)),
    length: fc.integer({ min: 0, max: 6 }),
    startsAt: time,
    first: fc.uniqueArray(person, { minLength: 1, maxLength: 3 }),
    second: fc.option(fc.uniqueArray(person, { minLength: 1, maxLength: 3 })),
  }),
);

const two = fc.uniqueArray(person, { minLength: 2, maxLength: 2 });

/** At least half a day long, so that no change of clocks leaves nothing of it. */
const cover = fc
  .record({
    people: two,
    call: fc.option(fc.constantFrom('first', 'second')),
    day: fc.integer({ min: -10, max: 365 }),
    time,
    days: fc.integer({ min: 1, max: 30 }),
    endTime: time,
    calledOff: fc.boolean(),
  })
  .map(({ people, call, day, time, days, endTime, calledOff }) => ({
    kind: 'cover',
    call,
    for: people[0],
    by: people[1],
    from: `${dateOf(day)}T${time}`,
    to: `${dateOf(day + days + 1)}T${endTime}`,
    calledOff,
  }));

const swap = fc
  .record({
    people: two,
    days: fc.uniqueArray(fc.integer({ min: 0, max: 364 }), { minLength: 2, maxLength: 2 }),
    call: fc.constantFrom('first', 'second'),
    calledOff: fc.boolean(),
  })
  .map(({ people, days, call, calledOff }) => ({
    kind: 'swap',
    call,
    one: { person: people[0], shift: dateOf(days[0] ?? 0) },
    other: { person: people[1], shift: dateOf(days[1] ?? 1) },
    calledOff,
  }));

/** Covers and swaps as a file states them, without their ids. */
const changes: fc.Arbitrary<readonly object[]> = fc.array(fc.oneof(cover, swap), {
  maxLength: 8,
});

/** One team, `crew`, that takes all sites. */
export const statedRota = fc.record({
  zone: fc.constantFrom(...ZONES),
  first: rotations(0),
  second: fc.option(rotations(0)),
  holidays,
  changes,
});

export type StatedRota = typeof statedRota extends fc.Arbitrary<infer Stated> ? Stated : never;

/** The rota that a file with this content gives. */
export function rotaFrom(stated: StatedRota, agreed: readonly object[] = stated.changes): Rota {
  const { weeks, length, startsAt, first, second } = stated.holidays;
  const days = weeks.map((week) => {
    const date = week * 7 + 3;
    return { name: `Day ${week}`, date: dateOf(date), lastDate: dateOf(date + length) };
  });
  const file = {
    people: PEOPLE.map((id) => ({ id, name: id, contacts: [`${id}-phone`] })),
    office: { contacts: ['desk'] },
    holidays: days.length === 0 ? [] : [{ id: 'public', days }],
    teams: [
      {
        id: 'crew',
        name: 'Crew',
        zone: stated.zone,
        takesOtherSites: true,
        members: PEOPLE.slice(0, 3),
        first: stated.first,
        second: stated.second,
        holidays: days.length === 0 ? [] : [{ calendar: 'public', startsAt, first, second }],
        changes: agreed.map((change, index) => ({ ...change, id: `c${index}` })),
      },
    ],
  };
  return parseRotaFile(JSON.stringify(file), 'random.json');
}
