import type { PageDue, Recipient } from '@lineside/oncall';
import { recent } from './budget.ts';
import { handOver, nextHandOverMs, type PageToHandOver } from './hand-over.ts';
import { JoiningPages, type NewPage, pageKindOf, type Turn } from './join.ts';
import { checkLimits, DEFAULT_PAGING_LIMITS, KEPT_FOR_MS, type PagingLimits } from './limits.ts';
import type { OpenPage, PagedAlarm, PagedPerson, PagingState } from './paging-state.ts';
import { allAtOnce, type InParts, PartCount } from './parts.ts';

/** What a member of a page costs beside an alarm that is asked for; measured. */
const WORK_OF_MEMBER = 0.1;

/** What `nextSteps` says is due for an alarm. */
export interface PageAsk {
  readonly alarm: PagedAlarm;
  readonly due: Pick<PageDue, 'form' | 'to'>;
}

export interface GroupedPages {
  readonly state: PagingState;
  readonly pages: readonly PageToHandOver[];
  /** When to call again, with or without asks; null: not before an alarm asks. */
  readonly dueAtMs: number | null;
}

/**
 * Gathers what alarms ask of people into the pages to hand over now.
 *
 * Moisture and leakage that are no emergencies share one page, the storm's; other alarms share
 * another one. The first alarm of a page is handed over at once; what joins is told when the page
 * may be handed over again. Emergencies page alone, up to three an hour to one person, the others
 * in one rolling page that names all, after some seconds in which they gather. Nobody gets more
 * than `pagesPerHourMost` hand-overs in any hour; what that holds back, the page says. Of these, one
 * more than the emergencies that may be alone are kept free of other pages, so that emergencies are
 * told whatever the storm; and the last of the hour is for emergencies alone, should their repeats
 * have taken those.
 *
 * It depends on nothing but its arguments. The records of `nextSteps` are to be kept whether or not
 * the alarm is told at once: one that is held back goes on to the next in line all the same.
 *
 * @param asks in any order; empty when only time has passed.
 * @param nowMs by the clock on the wall, not earlier than the call before.
 * @throws RangeError for limits that leave no room, or a time that is no whole number.
 */
export function groupPages(
  state: PagingState,
  asks: readonly PageAsk[],
  nowMs: number,
  limits: PagingLimits = DEFAULT_PAGING_LIMITS,
): GroupedPages {
  return allAtOnce(groupPagesInParts(state, asks, nowMs, limits));
}

/** As `groupPages`, with rests. */
export function* groupPagesInParts(
  state: PagingState,
  asks: readonly PageAsk[],
  nowMs: number,
  limits: PagingLimits,
): InParts<GroupedPages> {
  checkLimits(limits);
  if (!Number.isSafeInteger(nowMs)) {
    throw new RangeError(`expected the time in whole ms since 1970, found ${nowMs}`);
  }
  let { pagesSoFar } = state;
  const newPage: NewPage = (kind, member) => {
    pagesSoFar += 1;
    const key = `${kind}-${nowMs.toString(36)}-${pagesSoFar.toString(36)}`;
    return {
      key,
      kind,
      openedAtMs: nowMs,
      joinedAtMs: nowMs,
      revision: 0,
      handedOverAtMs: null,
      members: [member],
    };
  };
  const turn = { nowMs, limits, newPage };
  const people = yield* withAsks(state.people, asks, turn);
  const turns: ReturnType<typeof handOver>[] = [];
  const part = new PartCount();
  for (const person of people) {
    turns.push(handOver(forget(person, nowMs), turn));
    if (part.fills(membersOf(person) * WORK_OF_MEMBER)) yield;
  }
  const left = turns.map(({ person }) => person).filter(isKept);
  const dues = left.flatMap((person) => nextHandOverMs(person, limits) ?? []);
  return {
    state: { version: 1, pagesSoFar, people: left },
    pages: turns.flatMap(({ pages }) => pages),
    dueAtMs: dues.length === 0 ? null : Math.max(nowMs + 1, Math.min(...dues)),
  };
}

/** The people with all that asks them in their pages, in the order of the asks. */
function* withAsks(
  known: readonly PagedPerson[],
  asks: readonly PageAsk[],
  turn: Turn,
): InParts<readonly PagedPerson[]> {
  const part = new PartCount();
  const people = new Map(known.map((person) => [nameOf(person.to), person]));
  const joining = new Map<string, JoiningPages>();
  for (const { alarm, due } of asks) {
    for (const to of due.to) {
      const name = nameOf(to);
      const person = people.get(name) ?? { to, handedOver: [], pages: [] };
      people.set(name, person.to === to ? person : { ...person, to });
      const pages = joining.get(name) ?? new JoiningPages(person.pages, turn);
      joining.set(name, pages);
      pages.join(alarm, pageKindOf(alarm, due.form));
    }
    if (part.fills(due.to.length * WORK_OF_MEMBER)) yield;
  }
  return [...people].map(([name, person]) => {
    const pages = joining.get(name);
    return pages === undefined ? person : { ...person, pages: pages.result() };
  });
}

function membersOf({ pages }: PagedPerson): number {
  return pages.reduce((sum, { members }) => sum + members.length, 0);
}

function nameOf({ person }: Recipient): string {
  return person === null ? 'office' : `person ${person}`;
}

function forget(person: PagedPerson, nowMs: number): PagedPerson {
  const isOver = ({ joinedAtMs, handedOverAtMs, members }: OpenPage): boolean =>
    members.every(({ told }) => told) &&
    nowMs - Math.max(joinedAtMs, handedOverAtMs ?? joinedAtMs) > KEPT_FOR_MS;
  return {
    ...person,
    handedOver: recent(person.handedOver, nowMs),
    pages: person.pages.filter((page) => !isOver(page)),
  };
}

function isKept({ handedOver, pages }: PagedPerson): boolean {
  return handedOver.length > 0 || pages.length > 0;
}
