import type { PageToHandOver } from '../hand-over.ts';
import type { OpenPage, PagedPerson } from '../paging-state.ts';
import type { StepState } from './step-state.ts';

/** A page of which nothing is worth handing over any more, and why. */
export interface PageWithdrawn {
  readonly pageKey: string;
  readonly why: string;
}

const ANSWERED = 'answered before it could be handed over';
const OVERTAKEN = 'told by a newer page before it could be handed over';

/**
 * The pages that a step has ended: all of their alarms were answered, are over or were withdrawn, or
 * a newer page of the same person has told of them. What still waits of them would only wake people
 * for nothing. A page that keeps an open alarm stays as it is; so does a digest that told of what
 * was over, as nothing else tells of it.
 *
 * @param handedOver the pages of this step.
 */
export function withdrawnPages(
  before: StepState,
  after: StepState,
  handedOver: readonly PageToHandOver[],
): readonly PageWithdrawn[] {
  const kept = new Set(handedOver.map(({ key }) => key));
  const people = new Map(after.paging.people.map((person) => [person.to.person, person]));
  for (const { pages } of people.values()) for (const { key } of pages) kept.add(key);
  return before.paging.people.flatMap(({ to, pages }) => {
    const ended = pages.filter((page) => page.revision > 0 && !kept.has(page.key));
    if (ended.length === 0) return [];
    const told = toldElsewhere(people.get(to.person));
    return ended.flatMap((page) => withdrawn(page, told) ?? []);
  });
}

/** By alarm id: whether the page that it is in now was told since it asked last. */
function toldElsewhere(person: PagedPerson | undefined): ReadonlyMap<string, boolean> {
  const members = (person?.pages ?? []).flatMap((page) => page.members);
  return new Map(members.map(({ alarm, told }) => [alarm.id, told]));
}

function withdrawn(page: OpenPage, told: ReadonlyMap<string, boolean>): PageWithdrawn | null {
  if (page.hasToldOver === true) return null;
  const elsewhere = page.members.flatMap(({ alarm }) => told.get(alarm.id) ?? []);
  if (elsewhere.includes(false)) return null;
  return { pageKey: page.key, why: elsewhere.length === 0 ? ANSWERED : OVERTAKEN };
}
