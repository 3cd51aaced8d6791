import type { RotaChange, RotaTeam, Shift } from '../api/types.ts';
import { localFieldValue, weekdayAndTime, zoneName } from '../words/times.ts';

/** `Mon 12 Jan 08:00 to Mon 19 Jan 08:00 AST`. */
export function spanWords(shift: Pick<Shift, 'from' | 'to'>, zone: string, nowMs: number): string {
  const toMs = Date.parse(shift.to);
  const from = weekdayAndTime(Date.parse(shift.from), zone, nowMs);
  return `${from} to ${weekdayAndTime(toMs, zone, nowMs)} ${zoneName(toMs, zone)}`;
}

export const callWords = (call: Shift['call']): string =>
  call === 'first' ? 'First call' : 'Second call';

/** Shifts as they are listed: turns that nobody has for one reason are one row. */
export function listed(shifts: readonly Shift[]): readonly Shift[] {
  const rows: Shift[] = [];
  for (const shift of shifts) {
    const last = rows.at(-1);
    const isSame = last !== undefined && last.person === null && shift.person === null;
    if (isSame && last.gap === shift.gap) rows[rows.length - 1] = { ...last, to: shift.to };
    else rows.push(shift);
  }
  return rows;
}

/** What is unusual about a shift, or ''. */
export function noteWords({ planned, person, kind }: Shift): string {
  const notes = kind === 'holiday' ? ['holiday'] : [];
  if (planned !== null && planned.id !== person?.id) notes.push(`instead of ${planned.name}`);
  return notes.join(', ');
}

/** Both clocks where they differ: that of the team is the one that counts. */
export function yourTimeWords(atMs: number, zone: string, own: string, nowMs: number): string {
  const theirs = weekdayAndTime(atMs, zone, nowMs);
  const yours = weekdayAndTime(atMs, own, nowMs);
  return theirs === yours ? '' : `${yours} your time`;
}

/**
 * Date by the team's clock on which the whole turn begins that a shift is part of; a swap names it
 * so. The id of a part of a turn begins with the beginning of the turn.
 */
export function turnDate(shift: Shift, zone: string): string {
  const stamp = /(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z/.exec(shift.id);
  if (stamp === null) return localFieldValue(Date.parse(shift.from), zone).slice(0, 10);
  const [, year, month, day, hour, minute, second] = stamp;
  const atMs = Date.parse(`${year}-${month}-${day}T${hour}:${minute}:${second}Z`);
  return localFieldValue(atMs, zone).slice(0, 10);
}

/** Shifts that a person may give away: all for the office, else their own. */
export function givable(
  shifts: readonly Shift[],
  team: string,
  own: string | null,
): readonly Shift[] {
  return shifts.filter(
    ({ team: of, person }) => of === team && person !== null && (own === null || person.id === own),
  );
}

/** Who may take a shift: everybody of the team but the one who has it. */
export function takers(team: RotaTeam, shift: Shift): readonly string[] {
  return team.members.filter((id) => id !== shift.person?.id);
}

/** A cover of a shift, or of the part of it between two local times. */
export function coverOf(shift: Shift, by: string, from: string, to: string): RotaChange {
  return { kind: 'cover', call: shift.call, for: shift.person?.id ?? '', by, from, to };
}

export function swapOf(one: Shift, other: Shift, zone: string): RotaChange {
  const side = (shift: Shift) => ({
    person: shift.person?.id ?? '',
    shift: turnDate(shift, zone),
  });
  return { kind: 'swap', call: one.call, one: side(one), other: side(other) };
}
