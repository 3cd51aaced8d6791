import type { OpenPage, PagedPerson } from '../paging-state.ts';
import type { KeptAsk, StepState } from './step-state.ts';

/**
 * Where paging stands as plain JSON, without the asks, which are kept one by one. A page names its
 * members by id: in a storm of 2,000 alarms that is a tenth of what they would take in full.
 */
export interface StoredStep {
  readonly version: 1;
  readonly pagesSoFar: number;
  readonly pagesDueAtMs: number | null;
  readonly nowMs: number;
  readonly people: readonly StoredPerson[];
}

interface StoredPerson extends Omit<PagedPerson, 'pages'> {
  readonly pages: readonly StoredPage[];
}

interface StoredPage extends Omit<OpenPage, 'members'> {
  readonly told: readonly string[];
  readonly untold: readonly string[];
  /** Order of the members, as indices into `told` followed by `untold`; null: as they stand. */
  readonly order: readonly number[] | null;
}

export function storedStep({ paging, pagesDueAtMs, nowMs }: StepState): StoredStep {
  const people = paging.people.map((person) => ({
    ...person,
    pages: person.pages.map(storedPage),
  }));
  return { version: 1, pagesSoFar: paging.pagesSoFar, pagesDueAtMs, nowMs, people };
}

function storedPage({ members, ...page }: OpenPage): StoredPage {
  const told: string[] = [];
  const untold: string[] = [];
  for (const member of members) (member.told ? told : untold).push(member.alarm.id);
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
  const people = stored.people.map((person) => ({
    ...person,
    pages: person.pages.flatMap((page) => openPage(page, asks)),
  }));
  return {
    asks,
    paging: { version: 1, pagesSoFar: stored.pagesSoFar, people },
    pagesDueAtMs: stored.pagesDueAtMs,
    nowMs: stored.nowMs,
  };
}

function openPage(stored: StoredPage, asks: ReadonlyMap<string, KeptAsk>): readonly OpenPage[] {
  const { told, untold, order, ...page } = stored;
  const inBlocks = [
    ...told.map((id) => ({ id, told: true })),
    ...untold.map((id) => ({ id, told: false })),
  ];
  const inOrder = order === null ? inBlocks : order.flatMap((index) => inBlocks[index] ?? []);
  const members = inOrder.flatMap(({ id, told: is }) => {
    const alarm = asks.get(id)?.alarm;
    return alarm === undefined ? [] : [{ alarm, told: is }];
  });
  return members.length === 0 ? [] : [{ ...page, members }];
}

function isStoredStep(stored: unknown): stored is StoredStep {
  return (
    typeof stored === 'object' &&
    stored !== null &&
    'version' in stored &&
    stored.version === 1 &&
    'people' in stored &&
    Array.isArray(stored.people)
  );
}
