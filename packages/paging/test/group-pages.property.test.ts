import { FINDING_KINDS, PRIORITIES } from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  DEFAULT_PAGING_LIMITS,
  emptyPagingState,
  groupPages,
  type PageAsk,
  type PageToHandOver,
  type PagingState,
  withoutAlarms,
} from '../src/index.ts';
import { ANA, ask, BEN, HOUR_MS, idsOf, NOW_MS, OFFICE } from './sample-asks.ts';

type Happening =
  | { readonly what: 'ask'; readonly asks: readonly PageAsk[] }
  | { readonly what: 'answer'; readonly id: string }
  | { readonly what: 'wait'; readonly seconds: number };

const id = fc.integer({ min: 0, max: 40 }).map(String);
const to = fc.constantFrom([ANA], [ANA], [ANA, BEN], [BEN, OFFICE]);
const oneAsk: fc.Arbitrary<PageAsk> = fc
  .record({
    id,
    kind: fc.constantFrom('leakage' as const, 'moisture' as const, ...FINDING_KINDS),
    priority: fc.constantFrom(...PRIORITIES),
    site: fc.constantFrom('pier-nine', 'old-mill'),
    severity: fc.integer({ min: 0, max: 50 }),
    form: fc.constantFrom('page' as const, 'page' as const, 'digest' as const),
    to,
  })
  .map(({ form, to: people, id: name, ...fields }) => ask(name, fields, { form, to: people }));

const happenings: fc.Arbitrary<Happening[]> = fc.array(
  fc.oneof(
    {
      weight: 4,
      arbitrary: fc.record({
        what: fc.constant('ask' as const),
        asks: fc.array(oneAsk, { minLength: 1, maxLength: 6 }),
      }),
    },
    { weight: 1, arbitrary: fc.record({ what: fc.constant('answer' as const), id }) },
    {
      weight: 3,
      arbitrary: fc.record({
        what: fc.constant('wait' as const),
        seconds: fc.oneof(fc.integer({ min: 0, max: 900 }), fc.constant(3600)),
      }),
    },
  ),
  { maxLength: 60 },
);

interface Seen {
  readonly nowMs: number;
  readonly state: PagingState;
  readonly pages: readonly PageToHandOver[];
}

/** Lets it all happen, calling when a page is due as a service would. */
function live(
  history: readonly Happening[],
  keep: (state: PagingState) => PagingState = (state) => state,
): { readonly seen: readonly Seen[]; readonly dueAtMs: number | null } {
  let state = emptyPagingState();
  let nowMs = NOW_MS;
  let dueAtMs: number | null = null;
  const seen: Seen[] = [];
  const call = (asks: readonly PageAsk[]): void => {
    const grouped = groupPages(keep(state), asks, nowMs);
    ({ state, dueAtMs } = grouped);
    seen.push({ nowMs, state, pages: grouped.pages });
  };
  const waitUntil = (untilMs: number): void => {
    while (dueAtMs !== null && dueAtMs <= untilMs) {
      nowMs = dueAtMs;
      call([]);
    }
    nowMs = untilMs;
  };
  for (const happening of history) {
    if (happening.what === 'wait') waitUntil(nowMs + happening.seconds * 1000);
    else if (happening.what === 'ask') call(happening.asks);
    else state = withoutAlarms(keep(state), new Set([happening.id]));
  }
  waitUntil(nowMs + 3 * HOUR_MS);
  return { seen, dueAtMs };
}

function always(law: (history: readonly Happening[]) => void): void {
  fc.assert(fc.property(happenings, law), { numRuns: 300 });
}

function memberIds(state: PagingState, name: string): readonly string[] {
  const person = state.people.find(({ to: { name: known } }) => known === name);
  return (person?.pages ?? []).flatMap(({ members }) => members.map(({ alarm }) => alarm.id));
}

const NAMES = [ANA, BEN, OFFICE].map(({ name }) => name);

describe('whatever asks and whoever answers', () => {
  it('nobody gets more pages in any hour than the ceiling', () => {
    always((history) => {
      const pages = live(history).seen.flatMap((one) => one.pages);
      for (const name of NAMES) {
        const timesMs = pages.flatMap(({ to: { name: known }, atMs }) =>
          known === name ? [atMs] : [],
        );
        const { pagesPerHourMost } = DEFAULT_PAGING_LIMITS;
        for (const [index, atMs] of timesMs.entries()) {
          const seventh = timesMs[index + pagesPerHourMost];
          if (seventh !== undefined) expect(seventh - atMs).toBeGreaterThanOrEqual(HOUR_MS);
        }
      }
    });
  });

  it('each alarm that was asked and not answered is in exactly one page of each person', () => {
    always((history) => {
      const open = new Map(NAMES.map((name) => [name, new Set<string>()]));
      const soFar: Happening[] = [];
      let state = emptyPagingState();
      let nowMs = NOW_MS;
      for (const happening of history) {
        soFar.push(happening);
        if (happening.what === 'wait') {
          nowMs += happening.seconds * 1000;
          ({ state } = groupPages(state, [], nowMs));
        } else if (happening.what === 'answer') {
          state = withoutAlarms(state, new Set([happening.id]));
          for (const ids of open.values()) ids.delete(happening.id);
        } else {
          ({ state } = groupPages(state, happening.asks, nowMs));
          for (const { alarm, due } of happening.asks) {
            for (const { name } of due.to) open.get(name)?.add(alarm.id);
          }
        }
        for (const [name, ids] of open) {
          expect([...memberIds(state, name)].sort()).toEqual([...ids].sort());
        }
      }
    });
  });

  it('everything is told in the end, emergencies within the hour, and then nothing is due', () => {
    always((history) => {
      const { seen, dueAtMs } = live(history);
      expect(dueAtMs).toBeNull();
      const untold = seen
        .at(-1)
        ?.state.people.flatMap(({ pages }) =>
          pages.flatMap(({ members }) => members.filter(({ told }) => !told)),
        );
      expect(untold ?? []).toEqual([]);
      const sinceMs = new Map<string, number>();
      for (const { nowMs, state } of seen) {
        for (const { to: person, pages } of state.people) {
          for (const { alarm, told } of pages.flatMap(({ members }) => members)) {
            const name = `${person.name} ${alarm.id}`;
            if (told || alarm.priority !== 'emergency') sinceMs.delete(name);
            else if (!sinceMs.has(name)) sinceMs.set(name, nowMs);
            expect(nowMs - (sinceMs.get(name) ?? nowMs)).toBeLessThanOrEqual(HOUR_MS);
          }
        }
      }
    });
  });

  it('a page names all alarms that its person has not answered in it', () => {
    always((history) => {
      for (const { state, pages } of live(history).seen) {
        for (const page of pages) {
          const kept = state.people
            .find(({ to: { name } }) => name === page.to.name)
            ?.pages.find(({ key }) => key === page.key);
          const ids = kept?.members.map(({ alarm }) => alarm.id) ?? [];
          expect([...idsOf(page)].sort()).toEqual([...ids].sort());
          expect(page.alarms).toBe(ids.length);
        }
      }
    });
  });

  it('emergencies are alone three times in an hour at most, and their page is never a storm', () => {
    always((history) => {
      const pages = live(history).seen.flatMap((one) => one.pages);
      for (const page of pages) {
        const names = page.stops.flatMap(({ alarms }) => alarms);
        if (page.kind === 'alone') expect(names).toHaveLength(1);
        if (page.kind === 'storm' || page.kind === 'others') {
          expect(names.every(({ priority }) => priority !== 'emergency')).toBe(true);
        }
      }
      const alone = pages.filter(({ kind, to: { name } }) => kind === 'alone' && name === ANA.name);
      for (const [index, { atMs }] of alone.entries()) {
        const fourth = alone[index + DEFAULT_PAGING_LIMITS.emergenciesAloneMost];
        if (fourth !== undefined) expect(fourth.atMs - atMs).toBeGreaterThanOrEqual(HOUR_MS);
      }
    });
  });

  it('a restart at any point gives the same pages with the same keys', () => {
    always((history) => {
      const again = (state: PagingState): PagingState => JSON.parse(JSON.stringify(state));
      expect(live(history, again)).toEqual(live(history));
    });
  });

  it('keys fit a push topic, and key and revision name one hand-over', () => {
    always((history) => {
      const pages = live(history).seen.flatMap((one) => one.pages);
      const names = pages.map(({ key, revision }) => `${key} ${revision}`);
      expect(new Set(names).size).toBe(names.length);
      expect(pages.every(({ key }) => /^[a-z0-9-]{1,32}$/.test(key))).toBe(true);
    });
  });
});
