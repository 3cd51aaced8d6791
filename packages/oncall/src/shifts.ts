import { applyChanges, type Changed } from './apply-changes.ts';
import { holidayTurns } from './holiday-turns.ts';
import { DAY_MS, localTimeAt } from './local-time.ts';
import type { Call, Rota, Team } from './rota.ts';
import { rotationTurns } from './rotation-turns.ts';
import { changeWithin, joined, type Segment, segmentOf } from './segment.ts';
import { stamp, type Turn } from './turn.ts';

/** Ten years; a longer window is a mistake of units, and each shift of it would be computed. */
export const SHIFTS_MOST_MS: number = 3660 * DAY_MS;

/** Furthest that a local date can be from that of UTC, and a turn of a change from its date. */
const NEAR_MS = 2 * DAY_MS;

/** One person on one call from one instant to another, or nobody with the reason. */
export interface Shift {
  /** Stays when people change: `first-20260105T120000Z`, its later parts with their beginning. */
  readonly id: string;
  readonly team: string;
  readonly call: Call;
  readonly kind: 'rotation' | 'holiday';
  readonly fromMs: number;
  readonly toMs: number;
  readonly person: string | null;
  /** Why nobody is on call; `null` when somebody is. */
  readonly gap: string | null;
  /** Whose it was before covers and swaps. */
  readonly planned: string | null;
  /** Ids of the covers and swaps that gave it to the person. */
  readonly changes: readonly string[];
  /** How often covers and swaps have altered the turn it is part of; never falls. */
  readonly revision: number;
}

/**
 * The shifts of a call that touch a window, in order. They meet each other without gap or overlap
 * and are whole: the first may begin before the window and the last end after it. Only what comes
 * before the first rotation has no beginning of its own and is cut at the window's. Time that
 * nobody has is a shift with `person: null` and the reason in `gap`.
 *
 * @param fromMs beginning of the window, in milliseconds since 1970, included.
 * @param toMs its end, excluded; later than `fromMs`, by `SHIFTS_MOST_MS` at most.
 * @returns none for the second call of a team that has none.
 * @throws RangeError for an unknown team or such a window.
 */
export function shiftsBetween(
  rota: Rota,
  teamId: string,
  call: Call,
  fromMs: number,
  toMs: number,
): Shift[] {
  return shiftsOf(
    teamById(rota, teamId),
    call,
    callBetween(rota, teamId, call, fromMs, toMs),
  ).filter((shift) => shift.fromMs < toMs && shift.toMs > fromMs);
}

/** A call over a window and all turns that touch it, with its changes applied. */
export function callBetween(
  rota: Rota,
  teamId: string,
  call: Call,
  fromMs: number,
  toMs: number,
): Changed {
  const team = teamById(rota, teamId);
  if (!(fromMs < toMs && toMs - fromMs <= SHIFTS_MOST_MS)) {
    const words = `expected a window of up to ${SHIFTS_MOST_MS} ms, found ${fromMs} to ${toMs}`;
    throw new RangeError(words);
  }
  const window = { fromMs, toMs };
  const holidays = holidayTurns(rota, team, call, window, datesNear(window, team.zone));
  // Holidays reach beyond the window; what they are cut from must be there in whole as well.
  const hull = {
    fromMs: Math.min(fromMs, ...holidays.map((turn) => turn.fromMs)),
    toMs: Math.max(toMs, ...holidays.map((turn) => turn.toMs)),
  };
  const turns = rotationTurns(team, call, hull.fromMs, hull.toMs);
  const whole = {
    fromMs: Math.min(hull.fromMs, ...turns.map((turn) => turn.fromMs)),
    toMs: Math.max(hull.toMs, ...turns.map((turn) => turn.toMs)),
  };
  const dates = datesNear(whole, team.zone);
  const planned = withHolidays(turns, holidayTurns(rota, team, call, whole, dates));
  return applyChanges(team, call, planned, dates);
}

function datesNear(
  window: { readonly fromMs: number; readonly toMs: number },
  zone: string,
): { readonly first: string; readonly last: string } {
  return {
    first: localTimeAt(window.fromMs - NEAR_MS, zone).date,
    last: localTimeAt(window.toMs + NEAR_MS, zone).date,
  };
}

function withHolidays(turns: readonly Turn[], holidays: readonly Turn[]): readonly Segment[] {
  let segments: readonly Segment[] = turns.map(segmentOf);
  for (const turn of holidays) {
    const give = (segment: Segment): Segment => ({ ...segment, turn, person: turn.person });
    segments = changeWithin(segments, turn.fromMs, turn.toMs, give);
  }
  return segments;
}

function shiftsOf(team: Team, call: Call, { segments, revisions }: Changed): Shift[] {
  return joined(segments).map(({ turn, fromMs, toMs, person, changes }) => ({
    id: shiftId(turn, fromMs, toMs),
    team: team.id,
    call,
    kind: turn.kind,
    fromMs,
    toMs,
    person,
    gap: person === null ? turn.gap : null,
    planned: turn.person,
    changes,
    revision: revisions.get(turn.key) ?? 0,
  }));
}

function shiftId(turn: Turn, fromMs: number, toMs: number): string {
  // What comes before the first rotation begins where the window does, so its end names it.
  if (turn.date === '') return `${turn.key}-${stamp(toMs)}`;
  return fromMs === turn.fromMs ? turn.key : `${turn.key}-${stamp(fromMs)}`;
}

/** @throws RangeError for an unknown team. */
export function teamById({ teams }: Rota, id: string): Team {
  const team = teams.find((one) => one.id === id);
  if (team !== undefined) return team;
  const known = teams.map((one) => one.id).join(', ');
  throw new RangeError(`expected the id of a team (${known}), found ${id}`);
}
