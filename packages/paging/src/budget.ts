import { HOUR_MS, otherPagesMost, type PagingLimits } from './limits.ts';
import type { HandedOver, OpenPage, PagedPerson, PageKind } from './paging-state.ts';

/** What may still be handed over to one person, from what was in the last hour. */
export function recent(handedOver: readonly HandedOver[], nowMs: number): readonly HandedOver[] {
  return handedOver.filter(({ atMs }) => atMs > nowMs - HOUR_MS);
}

/** When a page of this kind fits the ceilings: now or in the past when it fits now. */
export function fitsFromMs(person: PagedPerson, kind: PageKind, limits: PagingLimits): number {
  const { handedOver } = person;
  // The last place of the hour is for an emergency, also where repeats of one took those before.
  const leaves = groupOf(kind) === 'rest' ? 1 : 0;
  const all = freeFromMs(handedOver, limits.pagesPerHourMost - leaves);
  const isOwn = (one: HandedOver): boolean => groupOf(one.kind) === groupOf(kind);
  const own = freeFromMs(handedOver.filter(isOwn), mostOf(kind, limits));
  return Math.max(all, own);
}

/** When the page is due by itself, whatever the ceilings say; null when all of it was told. */
export function dueFromMs(page: OpenPage, limits: PagingLimits): number | null {
  if (page.members.every(({ told }) => told)) return null;
  if (page.kind === 'alone') return page.openedAtMs;
  if (page.handedOverAtMs !== null) return page.handedOverAtMs + limits.againAfterMs;
  return page.openedAtMs + gathersForMs(page.kind, limits);
}

/** How long a page waits for others before it is handed over for the first time. */
function gathersForMs(kind: PageKind, limits: PagingLimits): number {
  if (kind === 'digest') return limits.digestGathersForMs;
  return kind === 'emergencies' ? limits.emergenciesGatherForMs : 0;
}

/** When fewer than `most` lie within the last hour. */
function freeFromMs(handedOver: readonly HandedOver[], most: number): number {
  const inTheWay = handedOver[handedOver.length - most];
  return inTheWay === undefined ? Number.NEGATIVE_INFINITY : inTheWay.atMs + HOUR_MS;
}

type Group = 'alone' | 'emergencies' | 'rest';

function groupOf(kind: PageKind): Group {
  return kind === 'alone' || kind === 'emergencies' ? kind : 'rest';
}

function mostOf(kind: PageKind, limits: PagingLimits): number {
  const most: Readonly<Record<Group, number>> = {
    alone: limits.emergenciesAloneMost,
    emergencies: limits.pagesPerHourMost,
    rest: otherPagesMost(limits),
  };
  return most[groupOf(kind)];
}
