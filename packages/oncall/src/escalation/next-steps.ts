import { PRIORITIES } from '@lineside/anomaly';
import { MINUTE_MS } from '../local-time.ts';
import { teamOfSite } from '../review-sites.ts';
import type { Rota, Team } from '../rota.ts';
import { ASKING_BY_STATE, type AskingAlarm, type PageRecord } from './asking.ts';
import {
  DEFAULT_QUIET_HOURS,
  type EscalationPolicy,
  LEVELS,
  type Level,
  type PriorityPolicy,
} from './policy.ts';
import { isQuiet, nextDigestMs } from './quiet-hours.ts';
import { askedAt, type CanReach, type Recipient } from './recipients.ts';

/** What is due now, and when to ask again. */
export interface NextSteps {
  readonly page: PageDue | null;
  /** When to ask again, later than now; `null`: not before the alarm itself changes. */
  readonly dueAtMs: number | null;
  /** Why nothing is due now, or why these are asked. */
  readonly words: string;
  /** Only when it asks and nobody on the ladder can be reached; it is tried again. */
  readonly isNobodyReached?: true;
}

export interface PageDue {
  readonly level: Level;
  /** A digest is one message for all that is in it; a page is about one alarm. */
  readonly form: 'page' | 'digest';
  /** Each once. */
  readonly to: readonly Recipient[];
  /** Levels that had nobody to ask, and why. */
  readonly skipped: readonly Skipped[];
  /** To be appended to `paged` in the transaction that hands the page over. */
  readonly record: PageRecord;
}

export interface Skipped {
  readonly level: Level;
  readonly words: string;
}

/** How soon it is tried again when nobody on the ladder can be reached. */
export const NOBODY_AGAIN_MS: number = 5 * MINUTE_MS;

const everybody: CanReach = () => true;

/** What lies between the alarm and the next level. */
interface Ask {
  readonly line: PriorityPolicy;
  readonly team: Team | null;
  readonly alarm: AskingAlarm;
  readonly nowMs: number;
  readonly canReach: CanReach;
  /** Pages that count: those since the alarm asks, at its priority or a higher one. */
  readonly round: readonly PageRecord[];
}

/**
 * Whom an alarm asks now, and when to look again. It depends on nothing but its arguments, so a
 * restart continues where the kept pages end, and asking too often does no harm. Asked late, one
 * level is due and not all that were missed: each has its full time to answer.
 *
 * The levels of the ladder are asked one after another, each `acknowledgeWithinMinutes` after the
 * one before. A level that has nobody to ask is left out at once, so with nobody on call the whole
 * team is next, and for a site without a team the office. Nobody is asked by two calls; as a member
 * of the team they are asked once more.
 *
 * @param policy `rota.escalation`, or another one.
 * @param nowMs by the clock on the wall, milliseconds since 1970.
 * @param canReach who has a contact point; whoever has none counts as nobody to ask. When nobody on
 *   the ladder has one, it is tried again every `NOBODY_AGAIN_MS`.
 * @throws RangeError when `nowMs` is not a whole number.
 */
export function nextSteps(
  policy: EscalationPolicy,
  rota: Rota,
  alarm: AskingAlarm,
  nowMs: number,
  canReach: CanReach = everybody,
): NextSteps {
  if (!Number.isSafeInteger(nowMs)) {
    throw new RangeError(`expected the time in whole ms since 1970, found ${nowMs}`);
  }
  const asking = ASKING_BY_STATE[alarm.state];
  if (!asking.asks) return nothing(null, asking.words);
  const { maintenanceUntilMs } = alarm;
  if (maintenanceUntilMs !== null && nowMs < maintenanceUntilMs) {
    return nothing(maintenanceUntilMs, 'its unit is under maintenance');
  }
  const line = policy[alarm.priority];
  const team = teamOfSite(rota, alarm.site);
  const ask = { line, team, alarm, nowMs, canReach, round: roundOf(alarm) };
  const levels = levelsLeft(ask);
  if (levels.length === 0) return nothing(null, 'everybody on the ladder was asked');
  const due = dueOf(ask);
  return due.atMs > nowMs ? nothing(due.atMs, due.words) : pageNow(rota, ask, levels, due.form);
}

/**
 * Whom the next digest tells of something at a site that is over and asked nobody. It goes by the
 * quiet hours of routine alarms, and by the usual ones where the policy has none, so that nobody is
 * woken by what has ended.
 *
 * @param sinceMs when it was heard of: the digest is the first one then or later.
 * @throws RangeError as `nextSteps`.
 */
export function digestSteps(
  policy: EscalationPolicy,
  rota: Rota,
  { site, sinceMs }: { readonly site: string; readonly sinceMs: number },
  nowMs: number,
  canReach: CanReach = everybody,
): NextSteps {
  const quietHours = policy.routine.quietHours ?? DEFAULT_QUIET_HOURS;
  const zone = quietHours.zone ?? teamOfSite(rota, site)?.zone ?? 'UTC';
  const alarm: AskingAlarm = {
    site,
    priority: 'routine',
    state: 'unacknowledged',
    askingSinceMs: nextDigestMs(quietHours, sinceMs, zone),
    maintenanceUntilMs: null,
    handedOnAtMs: null,
    paged: [],
  };
  const digest = { ...policy, routine: { ...policy.routine, quietHours } };
  const steps = nextSteps(digest, rota, alarm, nowMs, canReach);
  return steps.page === null ? steps : { ...steps, page: { ...steps.page, form: 'digest' } };
}

function nothing(dueAtMs: number | null, words: string): NextSteps {
  return { page: null, dueAtMs, words };
}

function roundOf({ paged, priority, askingSinceMs }: AskingAlarm): readonly PageRecord[] {
  const lowest = PRIORITIES.indexOf(priority);
  return paged.filter(
    (page) => page.atMs >= askingSinceMs && PRIORITIES.indexOf(page.priority) >= lowest,
  );
}

function levelsLeft({ line, round }: Ask): readonly Level[] {
  const last = round.at(-1);
  if (last === undefined) return line.ladder;
  const reached = LEVELS.indexOf(last.level);
  return line.ladder.filter((level) => LEVELS.indexOf(level) > reached);
}

interface Due {
  readonly atMs: number;
  readonly form: PageDue['form'];
  readonly words: string;
}

function dueOf(ask: Ask): Due {
  const { alarm, round } = ask;
  const last = round.at(-1);
  const atMs = last === undefined ? alarm.askingSinceMs : answerByMs(ask, last);
  const words =
    last === undefined ? 'it has not begun to ask' : `the ${last.level} level has time to answer`;
  const afterMaintenanceMs = Math.max(atMs, alarm.maintenanceUntilMs ?? atMs);
  return heldInQuiet(ask, { atMs: afterMaintenanceMs, form: 'page', words });
}

/** Until when whoever was asked last has time; no longer once they have handed it on. */
function answerByMs({ line, alarm: { handedOnAtMs } }: Ask, { atMs }: PageRecord): number {
  const byMs = atMs + line.acknowledgeWithinMinutes * MINUTE_MS;
  return handedOnAtMs !== null && handedOnAtMs > atMs ? Math.min(byMs, handedOnAtMs) : byMs;
}

/** What is due in quiet hours, or asked late in them, waits for the next digest. */
function heldInQuiet({ line, team, nowMs }: Ask, due: Due): Due {
  const quiet = line.quietHours;
  if (quiet === null) return due;
  const zone = quiet.zone ?? team?.zone ?? 'UTC';
  const digestFrom = (fromMs: number): Due => ({
    atMs: nextDigestMs(quiet, fromMs, zone),
    form: 'digest',
    words: 'it waits for the digest after the quiet hours',
  });
  const held = isQuiet(quiet, due.atMs, zone) ? digestFrom(due.atMs) : due;
  return held.atMs <= nowMs && isQuiet(quiet, nowMs, zone) ? digestFrom(nowMs) : held;
}

function pageNow(rota: Rota, ask: Ask, levels: readonly Level[], form: PageDue['form']): NextSteps {
  const { alarm, team, nowMs, round, canReach } = ask;
  const askedBefore = new Set(round.flatMap(({ people }) => people));
  const skipped: Skipped[] = [];
  for (const level of levels) {
    const line = { rota, team, site: alarm.site, atMs: nowMs, askedBefore, canReach };
    const asked = askedAt(level, line);
    if (asked.to !== null) {
      const people = asked.to.flatMap(({ person }) => (person === null ? [] : [person]));
      const record = { atMs: nowMs, level, priority: alarm.priority, people };
      const page = { level, form, to: asked.to, skipped, record };
      return { page, dueAtMs: dueAfter(ask, record), words: pageWords(level, skipped) };
    }
    skipped.push({ level, words: asked.words });
  }
  const again = nothing(nowMs + NOBODY_AGAIN_MS, pageWords('nobody', skipped));
  return { ...again, isNobodyReached: true };
}

function dueAfter(ask: Ask, record: PageRecord): number | null {
  const after = { ...ask, round: [...ask.round, record] };
  return levelsLeft(after).length === 0 ? null : dueOf(after).atMs;
}

function pageWords(level: Level | 'nobody', skipped: readonly Skipped[]): string {
  return [...new Set(skipped.map(({ words }) => words)), `so ${level} is asked`]
    .join('; ')
    .replace(/^so /, '');
}
