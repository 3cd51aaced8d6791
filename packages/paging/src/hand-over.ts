import type { Recipient } from '@lineside/oncall';
import { dueFromMs, fitsFromMs } from './budget.ts';
import { JoiningPages, replacePage, type Turn } from './join.ts';
import type { PagingLimits } from './limits.ts';
import { type Stop, visitingOrder, worstFirst, worstOf } from './order.ts';
import type { OpenPage, PagedAlarm, PagedPerson, PageKind } from './paging-state.ts';

/** A page to hand over to one person. Handed over again, it takes the place of the one before. */
export interface PageToHandOver {
  /** Of the page: the same each time it is handed over. */
  readonly key: string;
  /** 1 the first time; key and revision together name this hand-over. */
  readonly revision: number;
  readonly kind: PageKind;
  readonly to: Recipient;
  readonly atMs: number;
  /** All alarms of the page that nobody has answered, in the order to visit. */
  readonly stops: readonly Stop[];
  readonly alarms: number;
  /** How many of them are new in this hand-over or ask again. */
  readonly newAlarms: number;
  /** At most three. */
  readonly worst: readonly PagedAlarm[];
  /** Emergencies of pages of their own that nobody has answered; in the rolling page alone. */
  readonly alsoOpen: readonly PagedAlarm[];
  readonly heldBack: HeldBack;
}

/** What this person is not told yet, for the sake of the ceiling. */
export interface HeldBack {
  readonly alarms: number;
  readonly emergencies: number;
  readonly worst: PagedAlarm | null;
  /** When the next page can come; null when it can come at any time. */
  readonly untilMs: number | null;
}

/** How many of a page's alarms it names. */
const WORST_NAMED = 3;

/** Hands over to one person all that is due and fits. */
export function handOver(
  person: PagedPerson,
  turn: Turn,
): { readonly person: PagedPerson; readonly pages: readonly PageToHandOver[] } {
  let after = shareWhatCannotBeAlone(person, turn);
  const handed: Omit<PageToHandOver, 'heldBack'>[] = [];
  for (let page = nextPage(after, turn); page !== undefined; page = nextPage(after, turn)) {
    handed.push(toHandOver(after, page, turn));
    after = told(after, page, turn.nowMs);
  }
  return { person: after, pages: handed.map((one) => ({ ...one, heldBack: held(after, turn) })) };
}

/** When something more may be handed over: later than now, or null when nothing waits. */
export function nextHandOverMs(person: PagedPerson, limits: PagingLimits): number | null {
  let earliest: number | null = null;
  for (const page of person.pages) {
    const fromMs = readyFromMs(person, page, limits);
    if (fromMs !== null) earliest = Math.min(earliest ?? fromMs, fromMs);
  }
  return earliest;
}

/** An emergency beyond what may be alone goes to the rolling page, so that it is told with it. */
function shareWhatCannotBeAlone(person: PagedPerson, turn: Turn): PagedPerson {
  let shared: JoiningPages | null = null;
  let alone = person.handedOver.filter(({ kind }) => kind === 'alone').length;
  let all = person.handedOver.length;
  for (const page of person.pages) {
    if (page.kind !== 'alone' || page.members.every(({ told: was }) => was)) continue;
    if (alone < turn.limits.emergenciesAloneMost && all < turn.limits.pagesPerHourMost) {
      alone += 1;
      all += 1;
    } else {
      shared ??= new JoiningPages(person.pages, turn);
      for (const { alarm } of page.members) shared.join(alarm, 'emergencies');
    }
  }
  return shared === null ? person : { ...person, pages: shared.result() };
}

const FIRST_TO_LAST: readonly PageKind[] = ['alone', 'emergencies', 'storm', 'others', 'digest'];

/**
 * The page to hand over next: emergencies first, then what was never handed over, then the oldest.
 */
function nextPage(person: PagedPerson, { nowMs, limits }: Turn): OpenPage | undefined {
  const ready = person.pages.filter((page) => {
    const fromMs = readyFromMs(person, page, limits);
    return fromMs !== null && fromMs <= nowMs;
  });
  const urgency = ({ kind }: OpenPage): number => Math.min(2, FIRST_TO_LAST.indexOf(kind));
  const waits = (page: OpenPage): number => page.handedOverAtMs ?? Number.NEGATIVE_INFINITY;
  return ready.reduce<OpenPage | undefined>((best, page) => {
    if (best === undefined || urgency(page) < urgency(best)) return page;
    return urgency(page) === urgency(best) && waits(page) < waits(best) ? page : best;
  }, undefined);
}

function readyFromMs(person: PagedPerson, page: OpenPage, limits: PagingLimits): number | null {
  const dueMs = dueFromMs(page, limits);
  return dueMs === null ? null : Math.max(dueMs, fitsFromMs(person, page.kind, limits));
}

function toHandOver(
  { to, pages }: PagedPerson,
  { key, kind, revision, members }: OpenPage,
  { nowMs: atMs }: Turn,
): Omit<PageToHandOver, 'heldBack'> {
  const sorted = worstFirst(members.map(({ alarm }) => alarm));
  const alone = pages.filter((page) => kind === 'emergencies' && page.kind === 'alone');
  return {
    key,
    revision: revision + 1,
    kind,
    to,
    atMs,
    stops: visitingOrder(sorted),
    alarms: sorted.length,
    newAlarms: members.filter(({ told: was }) => !was).length,
    worst: sorted.slice(0, WORST_NAMED),
    alsoOpen: worstFirst(alone.flatMap((page) => page.members.map(({ alarm }) => alarm))),
  };
}

function told(person: PagedPerson, page: OpenPage, atMs: number): PagedPerson {
  const members = page.members.map(({ alarm }) => ({ alarm, told: true }));
  const after = { ...page, members, revision: page.revision + 1, handedOverAtMs: atMs };
  const handedOver = [...person.handedOver, { atMs, kind: page.kind }];
  return { ...replacePage(person, page, after), handedOver };
}

function held(person: PagedPerson, { nowMs, limits }: Turn): HeldBack {
  const waiting = person.pages.flatMap(({ members }) =>
    members.flatMap(({ alarm, told: was }) => (was ? [] : [alarm])),
  );
  const freeMs = fitsFromMs(person, 'emergencies', limits);
  return {
    alarms: waiting.length,
    emergencies: waiting.filter(
      ({ priority, overAtMs }) => priority === 'emergency' && overAtMs === undefined,
    ).length,
    worst: worstOf(waiting),
    untilMs: freeMs > nowMs ? freeMs : null,
  };
}
