import type { PageDue } from '@lineside/oncall';
import { MEMBERS_MOST, type PagingLimits } from './limits.ts';
import {
  type OpenPage,
  type PagedAlarm,
  type PagedPerson,
  type PageKind,
  type PageMember,
  withoutMembers,
} from './paging-state.ts';

/** Makes a new page of a kind, with a key that no other page has. */
export type NewPage = (kind: PageKind, member: PageMember) => OpenPage;

/** Which page an alarm belongs to when it asks. An emergency that stands waits for no digest. */
export function pageKindOf(alarm: PagedAlarm, form: PageDue['form']): PageKind {
  if (alarm.overAtMs !== undefined) return 'digest';
  if (alarm.priority === 'emergency') return 'alone';
  if (form === 'digest') return 'digest';
  return alarm.kind === 'moisture' || alarm.kind === 'leakage' ? 'storm' : 'others';
}

/**
 * The person with the alarm in the page where it belongs, not told yet. One that asks again stays
 * where it is; one that now belongs to another page leaves the one it was in.
 */
export function join(
  person: PagedPerson,
  alarm: PagedAlarm,
  kind: PageKind,
  when: { readonly nowMs: number; readonly limits: PagingLimits; readonly newPage: NewPage },
): PagedPerson {
  const member = { alarm, told: false };
  const held = person.pages.find((page) => page.members.some((one) => one.alarm.id === alarm.id));
  if (held !== undefined && isSameClass(held.kind, kind)) {
    return replacePage(person, held, {
      ...held,
      members: held.members.map((one) => (one.alarm.id === alarm.id ? member : one)),
    });
  }
  const ids = new Set([alarm.id]);
  const left = { ...person, pages: person.pages.flatMap((page) => withoutMembers(page, ids)) };
  const open = left.pages.find((page) => page.kind === kind && isJoinable(page, when));
  if (open === undefined || kind === 'alone') {
    return { ...left, pages: [...left.pages, when.newPage(kind, member)] };
  }
  const members = [...open.members, member];
  return replacePage(left, open, { ...open, members, joinedAtMs: when.nowMs });
}

export function replacePage(person: PagedPerson, before: OpenPage, after: OpenPage): PagedPerson {
  return { ...person, pages: person.pages.map((page) => (page === before ? after : page)) };
}

/** An emergency that shares the rolling page stays in it when it asks again. */
function isSameClass(held: PageKind, kind: PageKind): boolean {
  return held === kind || (held === 'emergencies' && kind === 'alone');
}

function isJoinable(
  { joinedAtMs, members }: OpenPage,
  { nowMs, limits }: { readonly nowMs: number; readonly limits: PagingLimits },
): boolean {
  return nowMs - joinedAtMs <= limits.joinWithinMs && members.length < MEMBERS_MOST;
}
