import {
  CALLS,
  type Notice,
  type Rota,
  reviewRota,
  type Shift,
  shiftsBetween,
} from '@lineside/oncall';

const DAY_MS = 86_400_000;
/** A shift that begins before now may last: turns of some weeks. */
const BACK_MS = 62 * DAY_MS;
/** As far ahead as covers and swaps are arranged. */
const AHEAD_MS = 400 * DAY_MS;

/** What a cover or swap does to the shifts around an instant. */
export interface ChangeEffect {
  /** As they are after it, those over by now left out. */
  readonly shifts: readonly Shift[];
  /** Whether it alters any shift, over or not, within 62 days back and 400 ahead. */
  readonly isEffective: boolean;
}

export function changeEffect(
  rota: Rota,
  teamId: string,
  changeId: string,
  nowMs: number,
): ChangeEffect {
  const altered = shiftsAround(rota, teamId, nowMs).filter(({ changes }) =>
    changes.includes(changeId),
  );
  return {
    shifts: altered.filter(({ toMs }) => toMs > nowMs),
    isEffective: altered.length > 0,
  };
}

/** Ids of changes that alter a shift which is not over, and that alter any. */
export function alteredBy(
  rota: Rota,
  teamId: string,
  nowMs: number,
): { readonly ahead: ReadonlySet<string>; readonly all: ReadonlySet<string> } {
  const shifts = shiftsAround(rota, teamId, nowMs);
  const ahead = shifts.filter(({ toMs }) => toMs > nowMs);
  return {
    ahead: new Set(ahead.flatMap(({ changes }) => changes)),
    all: new Set(shifts.flatMap(({ changes }) => changes)),
  };
}

function shiftsAround(rota: Rota, teamId: string, nowMs: number): readonly Shift[] {
  return CALLS.flatMap((call) =>
    shiftsBetween(rota, teamId, call, nowMs - BACK_MS, nowMs + AHEAD_MS),
  );
}

/** What the review says of `after` and does not say of `before`. */
export function newNotices(before: Rota, after: Rota, nowMs: number): Notice[] {
  const review = (rota: Rota): Notice[] => reviewRota(rota, nowMs, nowMs + AHEAD_MS);
  const known = new Set(review(before).map(({ words }) => words));
  return review(after).filter(({ words }) => !known.has(words));
}
