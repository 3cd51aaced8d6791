import { coverWindow } from './apply-changes.ts';
import { localTimeAt, localWords } from './local-time.ts';
import type { Notice } from './notice.ts';
import { CALLS, type Change, type Rota, type Team } from './rota.ts';
import { callBetween, type Shift, shiftsBetween } from './shifts.ts';

/**
 * What somebody should look at in a window of the rota: time without a first call, one person with
 * both calls, and covers and swaps that give nobody anything, mostly since a date is wrong.
 *
 * @param fromMs beginning, in milliseconds since 1970; `toMs` later, by `SHIFTS_MOST_MS` at most.
 */
export function reviewRota(rota: Rota, fromMs: number, toMs: number): Notice[] {
  return rota.teams.flatMap((team, index) => {
    const place = `teams[${index}]`;
    const first = shiftsBetween(rota, team.id, 'first', fromMs, toMs);
    const second = shiftsBetween(rota, team.id, 'second', fromMs, toMs);
    return [
      ...gaps(team, first, `${place}.first`),
      ...doubles(team, first, second, place),
      ...idleChanges(rota, team, fromMs, toMs, `${place}.changes`),
    ];
  });
}

function gaps({ zone }: Team, shifts: readonly Shift[], place: string): Notice[] {
  return wholeGaps(shifts).map(({ gap, fromMs, toMs }) => {
    const when = `from ${localWords(fromMs, zone)} to ${localWords(toMs, zone)}`;
    return { place, words: `nobody has the first call ${when}: ${gap}` };
  });
}

interface Gap {
  readonly fromMs: number;
  readonly toMs: number;
  readonly gap: string;
}

/** Time that nobody has, turn after turn for one reason, is one gap. */
function wholeGaps(shifts: readonly Shift[]): Gap[] {
  const gaps: Gap[] = [];
  for (const { gap, fromMs, toMs } of shifts) {
    if (gap === null) continue;
    const last = gaps.at(-1);
    if (last?.toMs === fromMs && last.gap === gap) gaps[gaps.length - 1] = { ...last, toMs };
    else gaps.push({ fromMs, toMs, gap });
  }
  return gaps;
}

function doubles(
  { zone }: Team,
  first: readonly Shift[],
  second: readonly Shift[],
  place: string,
): Notice[] {
  return first.flatMap((one) =>
    second.flatMap((other) => {
      const fromMs = Math.max(one.fromMs, other.fromMs);
      const toMs = Math.min(one.toMs, other.toMs);
      if (one.person === null || one.person !== other.person || fromMs >= toMs) return [];
      const when = `from ${localWords(fromMs, zone)} to ${localWords(toMs, zone)}`;
      const words = `${one.person} has both calls ${when}; let somebody cover one of them`;
      return [{ place, words }];
    }),
  );
}

function idleChanges(
  rota: Rota,
  team: Team,
  fromMs: number,
  toMs: number,
  place: string,
): Notice[] {
  const calls = CALLS.map((call) => callBetween(rota, team.id, call, fromMs, toMs));
  const isIdle = (part: string): boolean => calls.every(({ effective }) => !effective.has(part));
  return team.changes.flatMap((change, index) =>
    change.calledOff
      ? []
      : idleParts(team, change, fromMs, toMs)
          .filter(({ part }) => isIdle(part))
          .map(({ words }) => ({ place: `${place}[${index}]`, words })),
  );
}

/** The parts of a change that should give somebody something in the window. */
function idleParts(
  { zone }: Team,
  change: Change,
  fromMs: number,
  toMs: number,
): readonly { readonly part: string; readonly words: string }[] {
  if (change.kind === 'cover') {
    const cover = coverWindow(change, zone);
    if (cover.fromMs < fromMs || cover.toMs > toMs) return [];
    const call = change.call === null ? 'no call' : `not the ${change.call} call`;
    const words = `${change.for} has ${call} from ${change.from} to ${change.to}`;
    return [
      { part: change.id, words: `${words}, so nothing is covered; correct it or call it off` },
    ];
  }
  const first = localTimeAt(fromMs, zone).date;
  const last = localTimeAt(toMs, zone).date;
  return (['one', 'other'] as const)
    .filter((side) => first <= change[side].shift && change[side].shift < last)
    .map((side) => {
      const { person, shift } = change[side];
      const words = `${person} has no shift of the ${change.call} call that begins on ${shift}`;
      return { part: `${change.id}/${side}`, words: `${words}; correct it or call it off` };
    });
}
