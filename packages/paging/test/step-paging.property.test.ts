import type { AlarmJournalEntry } from '@lineside/alarms';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  changesBetween,
  DEFAULT_PAGING_LIMITS,
  emptyStepState,
  type HeldUnit,
  hear,
  type KeptAsk,
  type PageToHandOver,
  type Stepped,
  type StepState,
  stepPaging,
  stepStateOf,
  storedStep,
} from '../src/index.ts';
import { AlarmLives, happenings, PIER_ROTA } from './alarm-lives.ts';
import { HOUR_MS, MINUTE_MS, NOW_MS } from './sample-asks.ts';

/** What arrives at one moment, in one commit of the journal. */
interface Arrival {
  readonly atMs: number;
  readonly entries: readonly AlarmJournalEntry[];
}

const scripts = fc.array(
  fc.record({
    waitMs: fc.constantFrom(0, 1_000, 20_000, 4 * MINUTE_MS, 20 * MINUTE_MS, 5 * HOUR_MS),
    happened: fc.array(happenings, { minLength: 1, maxLength: 4 }),
  }),
  { minLength: 1, maxLength: 25 },
);
type Script = typeof scripts extends fc.Arbitrary<infer S> ? S : never;

function arrivalsOf(script: Script): {
  readonly arrivals: readonly Arrival[];
  readonly lives: AlarmLives;
} {
  const lives = new AlarmLives();
  let atMs = NOW_MS;
  const arrivals = script.map(({ waitMs, happened }) => {
    atMs += waitMs;
    const nowMs = atMs;
    return { atMs, entries: happened.flatMap((one) => lives.happen(one, nowMs)) };
  });
  return { arrivals, lives };
}

const HOLD: HeldUnit = {
  site: 'pier-nine',
  unit: 'p-3',
  fromMs: NOW_MS,
  untilMs: NOW_MS + 2 * HOUR_MS,
};

/** Units that have caught up, that never do, and one that does so now and then. */
const THROUGH: Readonly<Record<string, (nowMs: number) => number>> = {
  'p-0': (nowMs) => nowMs,
  'p-02': (nowMs) => nowMs - 14 * MINUTE_MS,
  'm-0': (nowMs) => nowMs - (nowMs % (40 * MINUTE_MS)),
  'm-02': (nowMs) => nowMs - HOUR_MS,
};

function step(state: StepState, entries: readonly AlarmJournalEntry[], nowMs: number): Stepped {
  const holds = nowMs >= HOLD.fromMs && nowMs < HOLD.untilMs ? [HOLD] : [];
  const everybodyButBen = (person: string | null): boolean => person !== 'ben';
  return stepPaging(state, {
    entries,
    nowMs,
    rota: PIER_ROTA,
    holds,
    canReach: everybodyButBen,
    judgedThroughMs: (_, unit) => THROUGH[unit]?.(nowMs) ?? null,
  });
}

/** What a record store gives back: asks one by one, the rest as JSON. */
function kept(state: StepState): StepState {
  const asks = JSON.parse(JSON.stringify([...state.asks])) as [string, KeptAsk][];
  return stepStateOf(JSON.parse(JSON.stringify(storedStep(state))), new Map(asks));
}

interface Night {
  readonly pages: readonly PageToHandOver[];
  readonly state: StepState;
}

/** Steps at each arrival and whenever one is due, and for a day after. */
function night(
  arrivals: readonly Arrival[],
  between: (state: StepState, nowMs: number) => StepState = (state) => state,
): Night {
  let state = emptyStepState();
  const pages: PageToHandOver[] = [];
  let dueAtMs: number | null = null;
  const take = (entries: readonly AlarmJournalEntry[], nowMs: number): void => {
    const stepped = step(state, entries, nowMs);
    pages.push(...stepped.pages);
    dueAtMs = stepped.dueAtMs;
    state = between(stepped.state, nowMs);
  };
  const until = (endMs: number): void => {
    while (dueAtMs !== null && dueAtMs < endMs) take([], dueAtMs);
  };
  for (const { atMs, entries } of arrivals) {
    until(atMs);
    take(entries, atMs);
  }
  until((arrivals.at(-1)?.atMs ?? NOW_MS) + 24 * HOUR_MS);
  return { pages, state };
}

describe('stepping from the journal to pages', () => {
  it('gives the same pages whenever it is stopped and continued from what was kept', () => {
    fc.assert(
      fc.property(
        scripts,
        fc.array(fc.boolean(), { minLength: 8, maxLength: 8 }),
        (script, stops) => {
          const { arrivals } = arrivalsOf(script);
          let steps = 0;
          const stopped = night(arrivals, (state, nowMs) => {
            steps += 1;
            if (stops[steps % stops.length] !== true) return state;
            // A step that never was committed is taken again and leaves no trace.
            step(state, [], nowMs + MINUTE_MS);
            return kept(state);
          });
          expect(stopped).toEqual(night(arrivals));
        },
      ),
      { numRuns: 60 },
    );
  });

  it('gives the same pages however often it looks with nothing new', () => {
    fc.assert(
      fc.property(scripts, fc.integer({ min: 1, max: 5 }), (script, looks) => {
        const { arrivals } = arrivalsOf(script);
        const often = night(arrivals, (state, nowMs) => {
          let after = state;
          for (let look = 0; look < looks; look += 1) {
            const again = step(after, [], nowMs);
            expect(again.pages).toEqual([]);
            after = again.state;
          }
          return after;
        });
        expect(often.pages).toEqual(night(arrivals).pages);
      }),
      { numRuns: 40 },
    );
  });

  it('hears a backlog in any parts as it hears it at once', () => {
    fc.assert(
      fc.property(scripts, fc.integer({ min: 1, max: 5 }), (script, part) => {
        const entries = arrivalsOf(script).arrivals.flatMap((one) => one.entries);
        const nowMs = NOW_MS + 24 * HOUR_MS;
        let inParts = emptyStepState();
        for (let from = 0; from < entries.length; from += part) {
          inParts = hear(inParts, entries.slice(from, from + part), nowMs);
        }
        expect(step(inParts, [], nowMs)).toEqual(step(emptyStepState(), entries, nowMs));
      }),
      { numRuns: 60 },
    );
  });

  it('leaves no unanswered alarm without somebody asked or a time to ask', () => {
    fc.assert(
      fc.property(scripts, (script) => {
        const { arrivals, lives } = arrivalsOf(script);
        const { state, pages } = night(arrivals);
        const named = new Set(
          pages.flatMap(({ stops }) => stops.flatMap(({ alarms }) => alarms.map(({ id }) => id))),
        );
        for (const { id, state: isNow } of lives.newest.values()) {
          if (isNow !== 'unacknowledged') continue;
          const ask = state.asks.get(id);
          expect(ask?.asking.paged.length !== 0 || ask.dueAtMs !== null).toBe(true);
          expect(named.has(id)).toBe(true);
        }
        for (const [id, { alarm }] of state.asks) {
          if (alarm.overAtMs === undefined) expect(lives.newest.get(alarm.unit)?.id).toBe(id);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('keeps the ceiling of each person and never pages whom it cannot reach', () => {
    fc.assert(
      fc.property(scripts, (script) => {
        const { pages } = night(arrivalsOf(script).arrivals);
        for (const page of pages) {
          expect(page.to.person).not.toBe('ben');
          const inTheHour = pages.filter(
            ({ to, atMs }) =>
              to.person === page.to.person && atMs <= page.atMs && atMs > page.atMs - HOUR_MS,
          );
          expect(inTheHour.length).toBeLessThanOrEqual(DEFAULT_PAGING_LIMITS.pagesPerHourMost);
        }
        const names = pages.map(({ key, revision }) => `${key} ${revision}`);
        expect(new Set(names).size).toBe(names.length);
      }),
      { numRuns: 60 },
    );
  });

  it('says all that has changed', () => {
    fc.assert(
      fc.property(scripts, (script) => {
        const { arrivals } = arrivalsOf(script);
        const store = new Map<string, KeptAsk>();
        let before = emptyStepState();
        night(arrivals, (state) => {
          const { changed, forgotten } = changesBetween(before, state);
          for (const id of forgotten) store.delete(id);
          for (const id of changed) {
            const ask = state.asks.get(id);
            if (ask !== undefined) store.set(id, ask);
          }
          before = state;
          expect(new Map([...store].sort())).toEqual(new Map([...state.asks].sort()));
          return state;
        });
      }),
      { numRuns: 40 },
    );
  });
});
