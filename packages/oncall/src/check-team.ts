import { instantMs, plusDays, WEEKDAYS, weekdayOf } from './local-time.ts';
import { firstOf, idTwice, type Mistake } from './mistake.ts';
import type {
  CallOffset,
  Change,
  Cover,
  Rota,
  Rotation,
  Swap,
  Team,
  TeamHolidays,
} from './rota.ts';

type Path = readonly PropertyKey[];

/** The first thing in a team that contradicts another one, in the order of the file; or null. */
export function firstTeamMistake(rota: Rota, team: Team, path: Path): Mistake | null {
  const known = new Set(rota.people.map(({ id }) => id));
  return (
    stranger(known, team.members, [...path, 'members']) ??
    rotationsMistake(known, team.first, [...path, 'first']) ??
    secondMistake(known, team, [...path, 'second']) ??
    firstOf(team.holidays, (holidays, index) =>
      holidaysMistake(rota, known, holidays, [...path, 'holidays', index]),
    ) ??
    idTwice(team.changes, [...path, 'changes']) ??
    firstOf(team.changes, (change, index) =>
      changeMistake(known, team, change, [...path, 'changes', index]),
    )
  );
}

function strangerMistake(id: string, path: Path): Mistake {
  return {
    path,
    words: `expected the id of one of the people, found ${id}; add them or correct it`,
  };
}

function stranger(known: ReadonlySet<string>, ids: readonly string[], path: Path): Mistake | null {
  return firstOf(ids, (id, index) =>
    known.has(id) ? null : strangerMistake(id, [...path, index]),
  );
}

function rotationsMistake(
  known: ReadonlySet<string>,
  rotations: readonly Rotation[],
  path: Path,
): Mistake | null {
  let before = '';
  return firstOf(rotations, ({ from, handOver, people }, index) => {
    if (weekdayOf(from) !== handOver.weekday) {
      return { path: [...path, index, 'from'], words: weekdayWords(from, handOver.weekday) };
    }
    if (from <= before) {
      const words = `expected a date after ${before}, where the rotation before it begins`;
      return { path: [...path, index, 'from'], words: `${words}, found ${from}` };
    }
    before = from;
    return stranger(known, people, [...path, index, 'people']);
  });
}

function weekdayWords(date: string, wanted: Rotation['handOver']['weekday']): string {
  const week = WEEKDAYS.length;
  const ahead = (WEEKDAYS.indexOf(wanted) - WEEKDAYS.indexOf(weekdayOf(date)) + week) % week;
  const near = `${plusDays(date, ahead - week)} or ${plusDays(date, ahead)}`;
  return `expected a ${wanted}, as the hand-over is, such as ${near}; found the ${weekdayOf(date)} ${date}`;
}

function secondMistake(known: ReadonlySet<string>, team: Team, path: Path): Mistake | null {
  const { first, second } = team;
  if (second === null) return null;
  if (!('offset' in second)) return rotationsMistake(known, second, path);
  return firstOf(first, ({ people }) => offsetMistake(second, people, path));
}

/** By an offset that comes back to the same person nobody would be second. */
function offsetMistake(
  { offset }: CallOffset,
  people: readonly string[],
  path: Path,
): Mistake | null {
  const same = people.find((id, index) => people[(index + offset) % people.length] === id);
  if (same === undefined) return null;
  const words = `expected an offset to somebody else in ${people.join(', ')}`;
  return { path: [...path, 'offset'], words: `${words}; ${offset} leads from ${same} to ${same}` };
}

function holidaysMistake(
  rota: Rota,
  known: ReadonlySet<string>,
  { calendar, first, second }: TeamHolidays,
  path: Path,
): Mistake | null {
  if (!rota.holidays.some(({ id }) => id === calendar)) {
    const words = `expected the id of one of the holidays, found ${calendar}`;
    return { path: [...path, 'calendar'], words };
  }
  const mistake = stranger(known, first, [...path, 'first']);
  if (mistake !== null || second === null) return mistake;
  return 'offset' in second
    ? offsetMistake(second, first, [...path, 'second'])
    : stranger(known, second, [...path, 'second']);
}

function changeMistake(
  known: ReadonlySet<string>,
  team: Team,
  change: Change,
  path: Path,
): Mistake | null {
  return change.kind === 'cover'
    ? coverMistake(known, team, change, path)
    : swapMistake(known, change, path);
}

function coverMistake(
  known: ReadonlySet<string>,
  { zone }: Team,
  cover: Cover,
  path: Path,
): Mistake | null {
  if (!known.has(cover.for)) return strangerMistake(cover.for, [...path, 'for']);
  if (!known.has(cover.by)) return strangerMistake(cover.by, [...path, 'by']);
  if (cover.for === cover.by) {
    return { path: [...path, 'by'], words: `expected somebody else than ${cover.for}` };
  }
  const [fromDate = '', fromTime = ''] = cover.from.split('T');
  const [toDate = '', toTime = ''] = cover.to.split('T');
  if (instantMs(fromDate, fromTime, zone) < instantMs(toDate, toTime, zone)) return null;
  const clocks =
    cover.from < cover.to ? ', since the clocks change: choose times outside the change' : '';
  const words = `expected a time after ${cover.from} in ${zone}, found ${cover.to}${clocks}`;
  return { path: [...path, 'to'], words };
}

function swapMistake(known: ReadonlySet<string>, { one, other }: Swap, path: Path): Mistake | null {
  if (!known.has(one.person)) return strangerMistake(one.person, [...path, 'one', 'person']);
  if (!known.has(other.person)) return strangerMistake(other.person, [...path, 'other', 'person']);
  if (one.person === other.person) {
    const words = `expected somebody else than ${one.person}`;
    return { path: [...path, 'other', 'person'], words };
  }
  if (one.shift === other.shift) {
    const words = `expected another shift than that of ${one.shift}; to give it away is a cover`;
    return { path: [...path, 'other', 'shift'], words };
  }
  return null;
}
