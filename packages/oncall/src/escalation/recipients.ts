import { onCallAt } from '../on-call-at.ts';
import type { Call, Person, Rota, Team } from '../rota.ts';
import type { Level } from './policy.ts';

/** Whom a page goes to. */
export interface Recipient {
  /** Id of the person; `null` for the office. */
  readonly person: string | null;
  readonly name: string;
  /** Ids of contact points, in the order of trying them. */
  readonly contacts: readonly string[];
}

/** Whom a level asks at an instant, each once; or why there is nobody to ask. */
export type Asked =
  | { readonly to: readonly Recipient[]; readonly words: null }
  | { readonly to: null; readonly words: string };

/** Whether there is any way to reach a person; `null` is the office. */
export type CanReach = (person: string | null) => boolean;

interface Line {
  readonly rota: Rota;
  readonly team: Team | null;
  readonly site: string;
  readonly atMs: number;
  /** Ids of the people who were asked since the alarm began to ask. */
  readonly askedBefore: ReadonlySet<string>;
  readonly canReach: CanReach;
}

/** Each level by its own rule. */
const BY_LEVEL: Readonly<Record<Level, (line: Line) => Asked>> = {
  first: (line) => onCall(line, 'first'),
  second: (line) => onCall(line, 'second'),
  team: wholeTeam,
  office,
};

export function askedAt(level: Level, line: Line): Asked {
  return BY_LEVEL[level](line);
}

/** Who has the call now, unless they were asked already: by both calls, or by a hand-over. */
function onCall(line: Line, call: Call): Asked {
  const { rota, team, site, atMs, askedBefore, canReach } = line;
  if (team === null) return nobody(noTeam(site));
  const { [call]: shift } = onCallAt(rota, team.id, atMs);
  if (shift === null) return nobody(`team ${team.id} has no ${call} call`);
  if (shift.person === null) return nobody(`nobody has the ${call} call: ${shift.gap}`);
  if (askedBefore.has(shift.person)) {
    return nobody(`${shift.person}, who has the ${call} call, was asked already`);
  }
  if (!canReach(shift.person)) {
    return nobody(`${shift.person}, who has the ${call} call, has no contact point`);
  }
  return peopleOf(rota, [shift.person]);
}

/** All members, also those asked before: whoever missed the first page may hear the second one. */
function wholeTeam({ rota, team, site, canReach }: Line): Asked {
  if (team === null) return nobody(noTeam(site));
  if (team.members.length === 0) return nobody(`team ${team.id} has no members`);
  const reached = team.members.filter(canReach);
  return reached.length === 0
    ? nobody(`nobody of team ${team.id} has a contact point`)
    : peopleOf(rota, reached);
}

function office({ rota, canReach }: Line): Asked {
  return canReach(null)
    ? { to: [{ person: null, ...rota.office }], words: null }
    : nobody('the office has no contact point');
}

function peopleOf({ people }: Rota, ids: readonly string[]): Asked {
  return { to: ids.map((id) => recipient(people, id)), words: null };
}

/** @throws RangeError for somebody the rota does not know; a rota from a file knows everybody. */
function recipient(people: readonly Person[], id: string): Recipient {
  const person = people.find((one) => one.id === id);
  if (person === undefined) throw new RangeError(`the rota has nobody with the id ${id}; add them`);
  return { person: id, name: person.name, contacts: person.contacts };
}

function noTeam(site: string): string {
  return `no team covers site ${site}`;
}

function nobody(words: string): Asked {
  return { to: null, words };
}
