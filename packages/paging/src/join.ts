import type { PageDue } from '@lineside/oncall';
import { MEMBERS_MOST, type PagingLimits } from './limits.ts';
import type { OpenPage, PagedAlarm, PagedPerson, PageKind, PageMember } from './paging-state.ts';

/** Makes a new page of a kind, with a key that no other page has. */
export type NewPage = (kind: PageKind, member: PageMember) => OpenPage;

/** Which page an alarm belongs to when it asks. An emergency that stands waits for no digest. */
export function pageKindOf(alarm: PagedAlarm, form: PageDue['form']): PageKind {
  if (alarm.overAtMs !== undefined) return 'digest';
  if (alarm.priority === 'emergency') return 'alone';
  if (form === 'digest') return 'digest';
  return alarm.kind === 'moisture' || alarm.kind === 'leakage' ? 'storm' : 'others';
}

export interface Turn {
  readonly nowMs: number;
  readonly limits: PagingLimits;
  readonly newPage: NewPage;
}

/** A page while alarms join; a member that is set again stays where it is. */
interface JoiningPage {
  page: OpenPage;
  readonly members: Map<string, PageMember>;
}

/**
 * The pages of one person while alarms join them, thousands in one step: each takes as long as the
 * first one. Mutable; what it was made from stays as it is.
 */
export class JoiningPages {
  readonly #turn: Turn;
  readonly #pages: JoiningPage[];
  /** Where an alarm is, by its id; made when the first one joins. */
  #pageOf: Map<string, JoiningPage> | null = null;

  constructor(pages: readonly OpenPage[], turn: Turn) {
    this.#turn = turn;
    this.#pages = pages.map((page) => joining(page));
  }

  /**
   * Puts the alarm into the page where it belongs, not told yet. One that asks again stays where it
   * is; one that now belongs to another page leaves the one it was in.
   */
  join(alarm: PagedAlarm, kind: PageKind): void {
    const member = { alarm, told: false };
    const pageOf = this.#index();
    const held = pageOf.get(alarm.id);
    if (held !== undefined && isSameClass(held.page.kind, kind)) {
      held.members.set(alarm.id, member);
      return;
    }
    if (held !== undefined) this.#leave(held, alarm.id);
    const open = kind === 'alone' ? undefined : this.#joinable(kind);
    if (open === undefined) {
      const opened = joining(this.#turn.newPage(kind, member));
      opened.members.set(alarm.id, member);
      this.#pages.push(opened);
      pageOf.set(alarm.id, opened);
      return;
    }
    open.members.set(alarm.id, member);
    open.page = { ...open.page, joinedAtMs: this.#turn.nowMs };
    pageOf.set(alarm.id, open);
  }

  result(): readonly OpenPage[] {
    if (this.#pageOf === null) return this.#pages.map(({ page }) => page);
    return this.#pages.map(({ page, members }) => ({ ...page, members: [...members.values()] }));
  }

  #index(): Map<string, JoiningPage> {
    if (this.#pageOf !== null) return this.#pageOf;
    const pageOf = new Map<string, JoiningPage>();
    for (const one of this.#pages) {
      for (const member of one.page.members) {
        one.members.set(member.alarm.id, member);
        pageOf.set(member.alarm.id, one);
      }
    }
    this.#pageOf = pageOf;
    return pageOf;
  }

  #leave(held: JoiningPage, id: string): void {
    held.members.delete(id);
    if (held.members.size === 0) this.#pages.splice(this.#pages.indexOf(held), 1);
  }

  #joinable(kind: PageKind): JoiningPage | undefined {
    const { nowMs, limits } = this.#turn;
    return this.#pages.find(
      ({ page, members }) =>
        page.kind === kind &&
        nowMs - page.joinedAtMs <= limits.joinWithinMs &&
        members.size < MEMBERS_MOST,
    );
  }
}

export function replacePage(person: PagedPerson, before: OpenPage, after: OpenPage): PagedPerson {
  return { ...person, pages: person.pages.map((page) => (page === before ? after : page)) };
}

function joining(page: OpenPage): JoiningPage {
  return { page, members: new Map() };
}

/** An emergency that shares the rolling page stays in it when it asks again. */
function isSameClass(held: PageKind, kind: PageKind): boolean {
  return held === kind || (held === 'emergencies' && kind === 'alone');
}
