import { ICalCalendar } from 'ical-generator';
import { CALLS, type Call, type Rota, type Team } from './rota.ts';
import { type Shift, shiftsBetween, teamById } from './shifts.ts';

/** Names the maker of the calendar, as RFC 5545, 3.7.3 asks for. */
const PRODUCT = { company: 'Lineside', product: 'On call', language: 'EN' };

/** How often a reader should look again: a cover arranged at noon is known in the afternoon. */
const REFRESH_SECONDS = 3600;

export interface FeedOptions {
  readonly fromMs: number;
  /** Later than `fromMs`, by `SHIFTS_MOST_MS` at most. */
  readonly toMs: number;
  /** When the rota was last changed; DTSTAMP of all shifts (RFC 5545, 3.8.7.2). */
  readonly changedAtMs: number;
  /** Name of this installation, so that no two give the same UID: `oncall.example.org`. */
  readonly domain: string;
  /** Only the shifts of this person. */
  readonly person?: string | undefined;
}

/**
 * The shifts of a team as an iCalendar object (RFC 5545), one VEVENT each, in UTC, so that a reader
 * needs no rules of zones. A shift keeps its UID when somebody covers or swaps it, and its SEQUENCE
 * rises. Contact points are not in it. Time that nobody has is no event.
 *
 * @returns the text, lines ending in CRLF and folded at 75 octets; media type `text/calendar`.
 * @throws RangeError for an unknown team or person, or a window that is none.
 */
export function calendarFeed(rota: Rota, teamId: string, options: FeedOptions): string {
  const team = teamById(rota, teamId);
  return feedOf(rota, [team], team.name, options);
}

/**
 * Likewise the shifts of all teams in one calendar.
 *
 * @throws RangeError for an unknown person, or a window that is none.
 */
export function calendarOfAllTeams(rota: Rota, options: FeedOptions): string {
  const person = rota.people.find(({ id }) => id === options.person);
  return feedOf(rota, rota.teams, person?.name ?? 'all teams', options);
}

function feedOf(rota: Rota, teams: readonly Team[], name: string, options: FeedOptions): string {
  const { person, fromMs, toMs } = options;
  if (person !== undefined && !rota.people.some(({ id }) => id === person)) {
    throw new RangeError(`expected the id of one of the people, found ${person}`);
  }
  const calendar = new ICalCalendar({
    name: `On call: ${name}`,
    prodId: PRODUCT,
    ttl: REFRESH_SECONDS,
  });
  for (const team of teams) {
    for (const call of CALLS) {
      for (const shift of shiftsBetween(rota, team.id, call, fromMs, toMs)) {
        const isShown = person === undefined ? shift.person !== null : shift.person === person;
        if (isShown) calendar.createEvent(eventOf(rota, team, shift, options));
      }
    }
  }
  // The generator leaves out the line break after the last line (RFC 5545, 3.1).
  return `${calendar.toString()}\r\n`;
}

function eventOf(
  rota: Rota,
  team: Team,
  shift: Shift,
  { changedAtMs, domain }: FeedOptions,
): Parameters<ICalCalendar['createEvent']>[0] {
  return {
    id: `${team.id}-${shift.id}@${domain}`,
    sequence: rota.revision + shift.revision,
    stamp: new Date(changedAtMs),
    start: new Date(shift.fromMs),
    end: new Date(shift.toMs),
    summary: `${callWords(shift.call)}: ${nameOf(rota, shift.person)} (${team.name})`,
    description: descriptionOf(rota, shift),
  };
}

function callWords(call: Call): string {
  return call === 'first' ? 'First call' : 'Second call';
}

function descriptionOf(rota: Rota, { kind, person, planned }: Shift): string | null {
  const lines = kind === 'holiday' ? ['Holiday'] : [];
  if (planned !== person) lines.push(`Instead of ${nameOf(rota, planned)}`);
  return lines.length === 0 ? null : lines.join('\n');
}

function nameOf({ people }: Rota, id: string | null): string {
  return people.find((person) => person.id === id)?.name ?? 'nobody';
}
