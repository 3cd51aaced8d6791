import type { OpenPage, PagedPerson } from '../paging-state.ts';
import type { KeptAsk, StepState } from './step-state.ts';

/**
 * Where paging stands as plain JSON, without the asks, which are kept one by one. Pages name their
 * members by number: a storm of 2,000 alarms is in the pages of each of a dozen people.
 */
export interface StoredStep {
  readonly version: 2;
  readonly pagesSoFar: number;
  readonly pagesDueAtMs: number | null;
  readonly nowMs: number;
  /** Ids of all members, each once. */
  readonly alarms: readonly string[];
  readonly people: readonly StoredPerson[];
}

interface StoredPerson extends Omit<PagedPerson, 'pages'> {
  readonly pages: readonly StoredPage[];
}

/** A member, by its place in `alarms`; version 1 wrote ids. */
type StoredMember = number | string;

interface StoredPage extends Omit<OpenPage, 'members'> {
  readonly told: readonly StoredMember[];
  readonly untold: readonly StoredMember[];
  /** Order of the members, as indices into `told` followed by `untold`; null: as they stand. */
  readonly order: readonly number[] | null;
}

/** What this and the version before wrote. */
type ReadStep = Omit<StoredStep, 'version' | 'alarms'> & { readonly alarms?: readonly string[] };

/** Gives each alarm a number, from 0 on. */
class Numbers {
  readonly #of = new Map<string, number>();

  of(id: string): number {
    const known = this.#of.get(id) ?? this.#of.size;
    this.#of.set(id, known);
    return known;
  }

  get ids(): readonly string[] {
    return [...this.#of.keys()];
  }
}

export function storedStep({ paging, pagesDueAtMs, nowMs }: StepState): StoredStep {
  const numbers = new Numbers();
  const people = paging.people.map((person) => ({
    ...person,
    pages: person.pages.map((page) => storedPage(page, numbers)),
  }));
  const { pagesSoFar } = paging;
  return { version: 2, pagesSoFar, pagesDueAtMs, nowMs, alarms: numbers.ids, people };
}

function storedPage({ members, ...page }: OpenPage, numbers: Numbers): StoredPage {
  const told: number[] = [];
  const untold: number[] = [];
  for (const member of members) {
    (member.told ? told : untold).push(numbers.of(member.alarm.id));
  }
  const firstUntold = members.findIndex((member) => !member.told);
  const isSorted = firstUntold === -1 || members.slice(firstUntold).every(({ told: is }) => !is);
  if (isSorted) return { ...page, told, untold, order: null };
  let toldSoFar = 0;
  let untoldSoFar = told.length;
  const order = members.map((member) => (member.told ? toldSoFar++ : untoldSoFar++));
  return { ...page, told, untold, order };
}

/**
 * The state that was kept as `stored` with its asks.
 *
 * @throws RangeError when another version of the program wrote it.
 */
export function stepStateOf(stored: unknown, asks: ReadonlyMap<string, KeptAsk>): StepState {
  if (!isStoredStep(stored)) {
    throw new RangeError('the kept state of paging was written by another version of Lineside');
  }
  // Version 1 has no list of ids.
  const ids = stored.alarms ?? [];
  const askOf = (member: StoredMember): KeptAsk | undefined =>
    asks.get(typeof member === 'number' ? (ids[member] ?? '') : member);
  const people = stored.people.map((person) => ({
    ...person,
    pages: person.pages.flatMap((page) => openPage(page, askOf)),
  }));
  return {
    asks,
    paging: { version: 1, pagesSoFar: stored.pagesSoFar, people },
    pagesDueAtMs: stored.pagesDueAtMs,
    nowMs: stored.nowMs,
  };
}

function openPage(
  stored: StoredPage,
  askOf: (member: StoredMember) => KeptAsk | undefined,
): readonly OpenPage[] {
  const { told, untold, order, ...page } = stored;
  const inBlocks = [
    ...told.map((member) => ({ member, told: true })),
    ...untold.map((member) => ({ member, told: false })),
  ];
  const inOrder = order === null ? inBlocks : order.flatMap((index) => inBlocks[index] ?? []);
  const members = inOrder.flatMap(({ member, told: is }) => {
    const alarm = askOf(member)?.alarm;
    return alarm === undefined ? [] : [{ alarm, told: is }];
  });
  return members.length === 0 ? [] : [{ ...page, members }];
}

function isStoredStep(stored: unknown): stored is ReadStep {
  return (
    typeof stored === 'object' &&
    stored !== null &&
    'version' in stored &&
    (stored.version === 1 || stored.version === 2) &&
    'people' in stored &&
    Array.isArray(stored.people)
  );
}
