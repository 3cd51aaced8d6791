import { instantMs, plusDays } from './local-time.ts';
import type { Call, HolidayCalendar, Rota, Team, TeamHolidays } from './rota.ts';
import { type Turn, turnKey } from './turn.ts';

/**
 * The holidays of a team that touch a window, whole, each with whose turn it is for a call. They
 * come one calendar after the other, as the team names them; where two overlap, the later holds.
 *
 * @param dates first and last local date near the window, to leave out holidays far from it.
 */
export function holidayTurns(
  rota: Rota,
  team: Team,
  call: Call,
  window: { readonly fromMs: number; readonly toMs: number },
  dates: { readonly first: string; readonly last: string },
): Turn[] {
  return team.holidays.flatMap((kept) => {
    const calendar = rota.holidays.find(({ id }) => id === kept.calendar);
    const turns = calendar === undefined ? [] : turnsNear(calendar, kept, team.zone, call, dates);
    return turns.filter(({ fromMs, toMs }) => fromMs < window.toMs && toMs > window.fromMs);
  });
}

function turnsNear(
  calendar: HolidayCalendar,
  kept: TeamHolidays,
  zone: string,
  call: Call,
  dates: { readonly first: string; readonly last: string },
): Turn[] {
  return calendar.days.flatMap((holiday, count) => {
    const person = personFor(kept, call, count);
    const isFar = holiday.date > dates.last || holiday.lastDate < dates.first;
    if (person === null || isFar) return [];
    const fromMs = instantMs(holiday.date, kept.startsAt, zone);
    const toMs = instantMs(plusDays(holiday.lastDate, 1), kept.startsAt, zone);
    const key = turnKey(call, 'holiday', fromMs);
    return [{ key, kind: 'holiday', fromMs, toMs, date: holiday.date, person, gap: null }];
  });
}

/** Whose turn the holiday with this count is; `null` leaves it to the rotation. */
function personFor({ first, second }: TeamHolidays, call: Call, count: number): string | null {
  if (call === 'first') return first[count % first.length] ?? null;
  if (second === null) return null;
  if ('offset' in second) return first[(count + second.offset) % first.length] ?? null;
  return second[count % second.length] ?? null;
}
