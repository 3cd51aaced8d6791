import type { LeakageLevelSlice } from './leakage-level.ts';
import type { ThreePhases } from './sample.ts';

/**
 * A fuse that opens while all contactors are open.
 *
 * At rest an open fuse is mostly invisible. It shows where the phase carried an idle current (a
 * control transformer, a heater), and is told from a heater that went off by what happened at the
 * same moment: the leakage that opened the fuse collapses with it, and the other two phases carry
 * on. A single heater that goes off empties two phases or changes no leakage. Both must have been
 * seen at rest since the loads went off: the leakage of a load that stops goes with it too, and
 * with it an outlet may have been unplugged. Where the fuse opens while a load runs and everything
 * trips before the next reading, the rest before that run stands for it: what leaked then as well
 * is on the line side, and does not go because a load stops. After a surge under load it is enough
 * that another phase lost what came back by it, as an outlet leaves the others as they were.
 */

/** What the three phases carried at rest, noted a while ago. */
export interface RestCurrents {
  readonly restAtMs: number | null;
  readonly restAmpsA: number;
  readonly restAmpsB: number;
  readonly restAmpsC: number;
}

const PHASES = ['a', 'b', 'c'] as const;
type Phase = (typeof PHASES)[number];

/** Three times what a clamp-on sensor tells from nothing. Common practice, no source. */
const CARRIED_AMPS = 0.09;
/** Nothing, but noise is not current. */
const GONE_AMPS = 0.03;
/** The other two phases keep at least this share: they lose what flowed to the third. */
const KEPT_SHARE = 0.4;
/** Of what a phase carried at rest some came back by another one, unless it went to the neutral. */
const LOST_WITH_IT_SHARE = 0.3;
/** What a unit draws at rest holds for days; a busy one may not have rested since yesterday. */
const NOTED_MS = 86_400_000;
/** The leakage was there until just now, ... */
const SURGE_UNTIL_MS = 600_000;
/** ... and a third of it is left at most, beside what leaks in dry weather: a filter stays. */
const LEFT_SHARE = 1 / 3;
/** In so short a run no film dries off by itself. Common practice, no source. */
const SAME_FILM_MS = 3_600_000;
/** More than a healthy unit leaks at all. Common practice, no source. */
const LEAST_FALL_MILLIAMPS = 3;

/** The leakage at this reading, and what was known of it at the reading before. */
export interface LeakageAround {
  readonly now: LeakageLevelSlice;
  readonly before: LeakageLevelSlice;
}

/**
 * The phase whose idle current went with a surge of leakage.
 *
 * @param waiting the phase that the reading before showed, if any: then it has only to stay gone.
 * @param restSinceMs when the loads went off.
 */
export function phaseGoneAtRest(
  atMs: number,
  now: ThreePhases,
  before: RestCurrents,
  leakage: LeakageAround,
  waiting: Phase | null,
  restSinceMs: number,
): Phase | null {
  if (before.restAtMs === null || atMs - before.restAtMs > NOTED_MS) return null;
  const carried = { a: before.restAmpsA, b: before.restAmpsB, c: before.restAmpsC };
  const phase = PHASES.find((one) => carried[one] >= CARRIED_AMPS && now[one] < GONE_AMPS);
  if (phase === undefined) return null;
  const othersCarryOn = PHASES.every(
    (one) => one === phase || (now[one] >= GONE_AMPS && now[one] >= KEPT_SHARE * carried[one]),
  );
  if (!othersCarryOn) return null;
  if (waiting === phase) return phase;
  const othersLost = PHASES.some(
    (one) => one !== phase && carried[one] - now[one] >= LOST_WITH_IT_SHARE * carried[phase],
  );
  return collapsed(atMs, leakage, restSinceMs, othersLost) ? phase : null;
}

/** Whether leakage that was seen at rest, and was there until now, is gone. */
function collapsed(
  atMs: number,
  { now, before }: LeakageAround,
  restSinceMs: number,
  othersLost: boolean,
): boolean {
  const { surgeAtMs, surgeMilliamps, milliamps } = now;
  if (milliamps === null) return false;
  const hasFallen = (thenMs: number | null, then: number | null, withinMs: number): boolean =>
    thenMs !== null &&
    then !== null &&
    atMs - thenMs <= withinMs &&
    isFall(then, milliamps, before.dryIdleMilliamps ?? 0);
  const surgeIsGone = hasFallen(surgeAtMs, surgeMilliamps, SURGE_UNTIL_MS);
  const newestIsGone = hasFallen(before.atMs, before.milliamps, SURGE_UNTIL_MS);
  if (surgeIsGone && surgeAtMs !== null && (othersLost || surgeAtMs >= restSinceMs)) return true;
  if (newestIsGone && before.atMs !== null && before.atMs >= restSinceMs) return true;
  const { idleMilliamps, idleAtMs } = before;
  if (idleAtMs === null || idleAtMs >= restSinceMs) return false;
  const withinMs = surgeIsGone || newestIsGone ? NOTED_MS : SAME_FILM_MS;
  return hasFallen(idleAtMs, idleMilliamps, withinMs);
}

/** Whether most of what leaked beyond the usual of dry weather is gone, and it was no trifle. */
function isFall(fromMilliamps: number, toMilliamps: number, usualMilliamps: number): boolean {
  const fell = fromMilliamps - toMilliamps;
  return (
    fell >= LEAST_FALL_MILLIAMPS && fell >= (1 - LEFT_SHARE) * (fromMilliamps - usualMilliamps)
  );
}
