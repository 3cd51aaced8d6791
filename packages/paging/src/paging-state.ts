import type { FindingKind, Priority } from '@lineside/anomaly';
import type { Recipient } from '@lineside/oncall';

/** An alarm as pages need it. */
export interface PagedAlarm {
  readonly id: string;
  readonly site: string;
  readonly unit: string;
  readonly kind: FindingKind;
  readonly priority: Priority;
  /** When it was raised, event time. */
  readonly sinceMs: number;
  /** Any number that is higher for what is worse among equals, for example the leakage in mA. */
  readonly severity: number;
  /** When it ended, event time, if it ended before anybody was asked: it is told by a digest. */
  readonly overAtMs?: number;
}

/**
 * - `alone`: one emergency.
 * - `emergencies`: the rolling page of all further ones.
 * - `storm`: moisture and leakage that are no emergencies.
 * - `others`: everything else.
 * - `digest`: what waited for the end of quiet hours.
 */
export type PageKind = 'alone' | 'emergencies' | 'storm' | 'others' | 'digest';

export interface PageMember {
  readonly alarm: PagedAlarm;
  /** Handed over since it asked last. */
  readonly told: boolean;
}

/** A page of one person. It stays until all of its alarms are answered. */
export interface OpenPage {
  /** Stable, `[a-z0-9-]{1,32}`: it fits a push topic (RFC 8030) and a notification's tag. */
  readonly key: string;
  readonly kind: PageKind;
  readonly openedAtMs: number;
  readonly joinedAtMs: number;
  /** How often it was handed over. */
  readonly revision: number;
  readonly handedOverAtMs: number | null;
  /** True once it told of an alarm that was over: such a one leaves it as it is told. */
  readonly hasToldOver?: true;
  readonly members: readonly PageMember[];
}

export interface HandedOver {
  readonly atMs: number;
  readonly kind: PageKind;
}

/** One person, or the office. */
export interface PagedPerson {
  readonly to: Recipient;
  /** Hand-overs of the last hour, oldest first; at most `pagesPerHourMost`. */
  readonly handedOver: readonly HandedOver[];
  readonly pages: readonly OpenPage[];
}

/** Plain JSON, to be kept in the transaction that hands the pages over. */
export interface PagingState {
  readonly version: 1;
  /** Makes the keys unique. */
  readonly pagesSoFar: number;
  readonly people: readonly PagedPerson[];
}

export function emptyPagingState(): PagingState {
  return { version: 1, pagesSoFar: 0, people: [] };
}

/**
 * The state without alarms that ask nobody any more: acknowledged, shelved, cleared, withdrawn. The
 * other members of their pages stay as they are.
 */
export function withoutAlarms(state: PagingState, ids: ReadonlySet<string>): PagingState {
  const people = state.people.map((person) => ({
    ...person,
    pages: person.pages.flatMap((page) => withoutMembers(page, ids)),
  }));
  return { ...state, people };
}

/** The state without alarms that digests have told of as over; their pages remember that. */
export function withoutToldOver(state: PagingState, ids: ReadonlySet<string>): PagingState {
  const marked = (page: OpenPage): OpenPage =>
    page.members.some(({ alarm }) => ids.has(alarm.id)) ? { ...page, hasToldOver: true } : page;
  const people = state.people.map((person) => ({ ...person, pages: person.pages.map(marked) }));
  return withoutAlarms({ ...state, people }, ids);
}

/** The state with what is known newest of its members; they stay where they are. */
export function withNewest(
  state: PagingState,
  newest: ReadonlyMap<string, PagedAlarm>,
): PagingState {
  const renewed = (page: OpenPage): OpenPage =>
    page.members.some(({ alarm }) => newest.has(alarm.id))
      ? {
          ...page,
          members: page.members.map(({ alarm, told }) => ({
            alarm: newest.get(alarm.id) ?? alarm,
            told,
          })),
        }
      : page;
  const people = state.people.map((person) => ({ ...person, pages: person.pages.map(renewed) }));
  return { ...state, people };
}

/** The page without some alarms; none when nobody is left in it. */
export function withoutMembers(page: OpenPage, ids: ReadonlySet<string>): readonly OpenPage[] {
  if (!page.members.some(({ alarm }) => ids.has(alarm.id))) return [page];
  const members = page.members.filter(({ alarm }) => !ids.has(alarm.id));
  return members.length === 0 ? [] : [{ ...page, members }];
}
