import type { AlarmJournalEntry } from '@lineside/alarms';
import { type CanReach, digestSteps, type NextSteps, nextSteps, type Rota } from '@lineside/oncall';
import { groupPagesInParts, type PageAsk } from '../group-pages.ts';
import type { PageToHandOver } from '../hand-over.ts';
import { DEFAULT_PAGING_LIMITS, type PagingLimits } from '../limits.ts';
import { worstFirst } from '../order.ts';
import { withoutToldOver } from '../paging-state.ts';
import { allAtOnce, type InParts, PartCount } from '../parts.ts';
import { askCaughtUp, type JudgedThrough, lookAgainMs } from './catching-up.ts';
import { hear } from './hear.ts';
import { type KeptAsk, nextStepMs, type StepState } from './step-state.ts';

/** A unit whose alarms ask nobody until then: maintenance, or it is out of service. */
export interface HeldUnit {
  readonly site: string;
  readonly unit: string;
  readonly fromMs: number;
  readonly untilMs: number;
}

export interface StepInput {
  /** New entries of the journal, in its order; empty when only time has passed. */
  readonly entries: readonly AlarmJournalEntry[];
  /** By the clock on the wall. */
  readonly nowMs: number;
  readonly rota: Rota;
  /** Those that hold at `nowMs`. */
  readonly holds: readonly HeldUnit[];
  /** Who has a contact point; null is the office. */
  readonly canReach: CanReach;
  /**
   * How far units were judged when the journal was read, or before: what it says of the time until
   * then is among what was heard.
   */
  readonly judgedThroughMs: JudgedThrough;
  readonly limits?: PagingLimits;
}

export interface Stepped {
  readonly state: StepState;
  /** To be handed over now, in the transaction that keeps the state. */
  readonly pages: readonly PageToHandOver[];
  /** When to step again with nothing new, later than now; null: not before an alarm changes. */
  readonly dueAtMs: number | null;
  /** Alarms that ask and cannot reach anybody, and why; they are tried again. */
  readonly unreachable: readonly { readonly alarmId: string; readonly words: string }[];
}

/**
 * One step from the journal to pages: hears the entries, asks the next in line for what is new,
 * changed or due, and gathers what that asks of people into pages. Alarms that nothing has touched
 * and that are not due are not looked at.
 *
 * It depends on nothing but its arguments: a step that is repeated after a crash gives the same
 * pages under the same keys, and continuing from the kept state gives what an uninterrupted run
 * gives.
 *
 * @throws RangeError as `groupPages` and `nextSteps`.
 */
export function stepPaging(before: StepState, input: StepInput): Stepped {
  return allAtOnce(stepPagingInParts(before, input));
}

/** As `stepPaging`, with rests: thousands of alarms may be due at once. */
export function* stepPagingInParts(before: StepState, input: StepInput): InParts<Stepped> {
  const nowMs = Math.max(input.nowMs, before.nowMs);
  const heard = hear(before, input.entries, nowMs);
  const asks = new Map(heard.asks);
  holdUnits(asks, input.holds, nowMs);
  askCaughtUp(asks, input.judgedThroughMs, nowMs);
  const { due, unreachable } = yield* askDue(asks, { ...input, nowMs });
  const limits = input.limits ?? DEFAULT_PAGING_LIMITS;
  const isPageDue = heard.pagesDueAtMs !== null && heard.pagesDueAtMs <= nowMs;
  if (due.length === 0 && !isPageDue) {
    // Pages and their time stay as they are, so that what is kept of them need not be written.
    const state = { ...heard, asks };
    return { state, pages: [], dueAtMs: nextStepMs(state), unreachable };
  }
  const grouped = yield* groupPagesInParts(heard.paging, due, nowMs, limits);
  const over = forgetToldOver(asks, grouped.pages);
  const state: StepState = {
    asks,
    paging: over.size === 0 ? grouped.state : withoutToldOver(grouped.state, over),
    pagesDueAtMs: grouped.dueAtMs,
    nowMs,
  };
  return { state, pages: grouped.pages, dueAtMs: nextStepMs(state), unreachable };
}

/**
 * Takes over until when each ask's unit is held; where that changed, the ask is looked at. Of what
 * ended under a hold the people at the unit know, so no digest tells of it.
 */
function holdUnits(asks: Map<string, KeptAsk>, holds: readonly HeldUnit[], nowMs: number): void {
  const held = heldUnits(holds);
  for (const [id, ask] of asks) {
    const { site, unit, overAtMs } = ask.alarm;
    const hold = held.size === 0 ? undefined : held.get(`${site}/${unit}`);
    if (overAtMs !== undefined) {
      if (hold !== undefined && overAtMs >= hold.fromMs && ask.dueAtMs !== null) asks.delete(id);
      continue;
    }
    const maintenanceUntilMs = hold?.untilMs ?? null;
    if (maintenanceUntilMs === ask.asking.maintenanceUntilMs) continue;
    asks.set(id, { ...ask, asking: { ...ask.asking, maintenanceUntilMs }, dueAtMs: nowMs });
  }
}

function heldUnits(holds: readonly HeldUnit[]): ReadonlyMap<string, HeldUnit> {
  const held = new Map<string, HeldUnit>();
  for (const hold of holds) {
    const key = `${hold.site}/${hold.unit}`;
    const known = held.get(key) ?? hold;
    held.set(key, {
      ...hold,
      fromMs: Math.min(hold.fromMs, known.fromMs),
      untilMs: Math.max(hold.untilMs, known.untilMs),
    });
  }
  return held;
}

interface AskedNow {
  readonly due: readonly PageAsk[];
  readonly unreachable: Stepped['unreachable'];
}

function* askDue(asks: Map<string, KeptAsk>, input: StepInput): InParts<AskedNow> {
  const { nowMs } = input;
  const dueNow = [...asks.values()].filter(({ dueAtMs }) => dueAtMs !== null && dueAtMs <= nowMs);
  const due: PageAsk[] = [];
  const unreachable: { alarmId: string; words: string }[] = [];
  const part = new PartCount();
  // The worst first, so that of many emergencies the worst have pages of their own.
  for (const { id } of worstFirst(dueNow.map(({ alarm }) => alarm))) {
    const ask = asks.get(id);
    if (ask === undefined) continue;
    const { page, words, isNobodyReached, ...steps } = stepsOf(ask, input);
    const dueAtMs = lookAgainMs(ask, steps.dueAtMs, nowMs);
    const paged = page === null ? ask.asking.paged : [...ask.asking.paged, page.record];
    asks.set(id, { ...ask, asking: { ...ask.asking, paged }, dueAtMs });
    if (page !== null) due.push({ alarm: ask.alarm, due: page });
    if (isNobodyReached === true) unreachable.push({ alarmId: id, words });
    if (part.fills(1)) yield;
  }
  return { due, unreachable };
}

function stepsOf(ask: KeptAsk, { rota, nowMs, canReach }: StepInput): NextSteps {
  const { alarm, asking } = ask;
  if (alarm.overAtMs === undefined) {
    return nextSteps(rota.escalation, rota, asking, nowMs, canReach);
  }
  const since = { site: alarm.site, sinceMs: asking.askingSinceMs };
  const steps = digestSteps(rota.escalation, rota, since, nowMs, canReach);
  // A digest tells it once and goes on to nobody.
  return steps.page === null ? steps : { ...steps, dueAtMs: null };
}

/** What a digest has told of, nobody has to answer. */
function forgetToldOver(
  asks: Map<string, KeptAsk>,
  pages: readonly PageToHandOver[],
): ReadonlySet<string> {
  const over = new Set<string>();
  for (const { stops } of pages) {
    for (const { alarms } of stops) {
      for (const { id, overAtMs } of alarms) if (overAtMs !== undefined) over.add(id);
    }
  }
  for (const id of over) asks.delete(id);
  return over;
}
