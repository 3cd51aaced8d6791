import { CALLS, type Rota } from './rota.ts';
import { type Shift, shiftsBetween } from './shifts.ts';

/** Who is on call at an instant; `second` is null for a team without a second call. */
export interface OnCall {
  readonly first: Shift;
  readonly second: Shift | null;
}

/**
 * The last answer for each team of a rota. A rota never changes, it is replaced, so an answer holds
 * for as long as its shifts do. Two thousand alarms of one storm ask the same question.
 */
const lastAnswers = new WeakMap<Rota, Map<string, OnCall>>();

/**
 * Who is first and second on call at an instant, and until when: `toMs` of each shift. The same
 * person may have both calls, for example by covering one; `reviewRota` says so.
 *
 * @param rota must not be modified afterwards; a new one is built for each change.
 * @param atMs milliseconds since 1970. A shift begins at its `fromMs` and is over at its `toMs`.
 * @throws RangeError for an unknown team.
 */
export function onCallAt(rota: Rota, teamId: string, atMs: number): OnCall {
  const answers = lastAnswers.get(rota) ?? new Map<string, OnCall>();
  const last = answers.get(teamId);
  if (last !== undefined && holdsAt(last, atMs)) return last;
  const [first, second] = CALLS.map((call) => shiftsBetween(rota, teamId, call, atMs, atMs + 1)[0]);
  if (first === undefined) throw new RangeError(`team ${teamId} has no first call at ${atMs}`);
  const answer = { first, second: second ?? null };
  answers.set(teamId, answer);
  lastAnswers.set(rota, answers);
  return answer;
}

function holdsAt({ first, second }: OnCall, atMs: number): boolean {
  return [first, second].every(
    // What nobody has may begin where it was asked for, so its beginning says nothing.
    (shift) =>
      shift === null || (shift.person !== null && shift.fromMs <= atMs && atMs < shift.toMs),
  );
}
