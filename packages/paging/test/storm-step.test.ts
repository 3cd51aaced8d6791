import type { AlarmJournalEntry } from '@lineside/alarms';
import { describe, expect, it } from 'vitest';
import {
  emptyStepState,
  type InParts,
  type KeptAsk,
  type Stepped,
  type StepState,
  stepPaging,
  stepPagingInParts,
  stepStateOf,
  storedStep,
} from '../src/index.ts';
import { AlarmLives, PIER_ROTA } from './alarm-lives.ts';
import { MINUTE_MS } from './sample-asks.ts';

const NOON = Date.UTC(2026, 0, 6, 12);
const UNITS = 600;

function storm(): readonly AlarmJournalEntry[] {
  const lives = new AlarmLives();
  return Array.from({ length: UNITS }, (_, at) =>
    lives.happen({ unit: `p-${at}x`, what: at % 50 === 7 ? 'rise' : 'raise', lateMs: 0 }, NOON),
  ).flat();
}

function inputAt(nowMs: number, entries: readonly AlarmJournalEntry[] = []) {
  const everybody = { canReach: () => true, judgedThroughMs: () => null };
  return { entries, nowMs, rota: PIER_ROTA, holds: [], ...everybody };
}

function counted(parts: InParts<Stepped>): { readonly rests: number; readonly stepped: Stepped } {
  let rests = 0;
  let part = parts.next();
  for (; part.done !== true; part = parts.next()) rests += 1;
  return { rests, stepped: part.value };
}

/** After the first call and the second one were asked. */
function afterTwoLevels(): StepState {
  const { state } = stepPaging(emptyStepState(), inputAt(NOON, storm()));
  return stepPaging(state, inputAt(NOON + 20 * MINUTE_MS)).state;
}

describe('a step of a storm', () => {
  it('rests many times, and gives what it gives without a rest', () => {
    const entries = storm();
    const first = counted(stepPagingInParts(emptyStepState(), inputAt(NOON, entries)));
    expect(first.rests).toBeGreaterThan(UNITS / 100);
    expect(first.stepped).toEqual(stepPaging(emptyStepState(), inputAt(NOON, entries)));
    const later = inputAt(NOON + 20 * MINUTE_MS);
    const second = counted(stepPagingInParts(first.stepped.state, later));
    expect(second.rests).toBeGreaterThan(UNITS / 100);
    expect(second.stepped).toEqual(stepPaging(first.stepped.state, later));
    expect(second.stepped.pages.length).toBeGreaterThan(0);
  });

  it('does not rest for a few alarms', () => {
    const few = storm().slice(0, 10);
    expect(counted(stepPagingInParts(emptyStepState(), inputAt(NOON, few))).rests).toBe(0);
  });

  it('is kept with each alarm named once, however many people it is told to', () => {
    const state = afterTwoLevels();
    const stored = storedStep(state);
    expect(state.paging.people.length).toBe(2);
    expect(new Set(stored.alarms).size).toBe(stored.alarms.length);
    expect(stored.alarms.length).toBe(UNITS);
    expect(stepStateOf(JSON.parse(JSON.stringify(stored)), state.asks)).toEqual(state);
  });

  it('reads what the version before kept, which named members by id in each page', () => {
    const state = afterTwoLevels();
    const { alarms, ...stored } = storedStep(state);
    const named = (members: readonly (number | string)[]) =>
      members.map((member) => (typeof member === 'number' ? alarms[member] : member));
    const people = stored.people.map((person) => ({
      ...person,
      pages: person.pages.map((page) => ({
        ...page,
        told: named(page.told),
        untold: named(page.untold),
      })),
    }));
    const before = JSON.parse(JSON.stringify({ ...stored, version: 1, people }));
    expect(stepStateOf(before, state.asks)).toEqual(state);
  });

  it('refuses what a later version kept', () => {
    const later = { ...storedStep(emptyStepState()), version: 3 };
    const asks: ReadonlyMap<string, KeptAsk> = new Map();
    expect(() => stepStateOf(later, asks)).toThrow(RangeError);
  });
});
