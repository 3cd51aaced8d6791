import { PRIORITIES } from '@lineside/anomaly';
import { MINUTE_MS } from '../local-time.ts';
import { teamOfSite } from '../review-sites.ts';
import type { Rota, Team } from '../rota.ts';
import { ASKING_BY_STATE, type AskingAlarm, type PageRecord } from './asking.ts';
import { type EscalationPolicy, LEVELS, type Level, type PriorityPolicy } from './policy.ts';
import { isQuiet, nextDigestMs } from './quiet-hours.ts';
import { askedAt, type Recipient } from './recipients.ts';

/** What is due now, and when to ask again. */
export interface NextSteps {
  readonly page: PageDue | null;
  /** When to ask again, later than now; `null`: not before the alarm itself changes. */
  readonly dueAtMs: number | null;
  /** Why nothing is due now, or why these are asked. */
  readonly words: string;
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

/** What lies between the alarm and the next level. */
interface Ask {
  readonly line: PriorityPolicy;
  readonly team: Team | null;
  readonly alarm: AskingAlarm;
  readonly nowMs: number;
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
 * @throws RangeError when `nowMs` is not a whole number.
 */
export function nextSteps(
  policy: EscalationPolicy,
  rota: Rota,
  alarm: AskingAlarm,
  nowMs: number,
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
  const ask = { line, team: teamOfSite(rota, alarm.site), alarm, nowMs, round: roundOf(alarm) };
  const levels = levelsLeft(ask);
  if (levels.length === 0) return nothing(null, 'everybody on the ladder was asked');
  const due = dueOf(ask);
  return due.atMs > nowMs ? nothing(due.atMs, due.words) : pageNow(rota, ask, levels, due.form);
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
  const { alarm, team, nowMs, round } = ask;
  const askedBefore = new Set(round.flatMap(({ people }) => people));
  const skipped: Skipped[] = [];
  for (const level of levels) {
    const asked = askedAt(level, { rota, team, site: alarm.site, atMs: nowMs, askedBefore });
    if (asked.to !== null) {
      const people = asked.to.flatMap(({ person }) => (person === null ? [] : [person]));
      const record = { atMs: nowMs, level, priority: alarm.priority, people };
      const page = { level, form, to: asked.to, skipped, record };
      return { page, dueAtMs: dueAfter(ask, record), words: pageWords(level, skipped) };
    }
    skipped.push({ level, words: asked.words });
  }
  return nothing(null, pageWords('nobody', skipped));
}

function dueAfter(ask: Ask, record: PageRecord): number | null {
  const after = { ...ask, round: [...ask.round, record] };
  return levelsLeft(after).length === 0 ? null : dueOf(after).atMs;
}

function pageWords(level: Level | 'nobody', skipped: readonly Skipped[]): string {
  return [...skipped.map(({ words }) => words), `so ${level} is asked`]
    .join('; ')
    .replace(/^so /, '');
}
