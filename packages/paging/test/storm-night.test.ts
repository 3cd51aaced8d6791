import type { Priority } from '@lineside/anomaly';
import { nextSteps, type PageRecord, parseRotaFile } from '@lineside/oncall';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  emptyPagingState,
  groupPages,
  type PageAsk,
  type PagedAlarm,
  type PageToHandOver,
} from '../src/index.ts';
import { alarm, HOUR_MS, idsOf, MINUTE_MS, NOW_MS } from './sample-asks.ts';

const ROTA = parseRotaFile(
  `people:
  - { id: ana, name: Ana Reyes, contacts: [ana-phone] }
  - { id: ben, name: Ben Okafor, contacts: [ben-phone] }
office: { name: Front desk, contacts: [office-desk] }
teams:
  - id: north
    name: North crew
    zone: UTC
    sites: []
    takesOtherSites: true
    first:
      - { from: 2026-01-05, handOver: { weekday: monday, time: "08:00" }, turnWeeks: 1, people: [ana, ben] }
    second: { offset: 1 }
`,
  'rota.yaml',
);
const UNITS = 2000;
const RAISED_WITHIN_MS = 5 * MINUTE_MS;
/** Until the last level of the slowest ladder was asked, and an hour more. */
const NIGHT_MS = 3 * HOUR_MS;

interface Raised {
  readonly alarm: PagedAlarm;
  readonly atMs: number;
}

/** Units that raise within five minutes, one in `emergencyEvery` as an emergency. */
function storm(seed: number, emergencyEvery: number): readonly Raised[] {
  let noise = seed;
  return Array.from({ length: UNITS }, (_, index) => {
    // A linear congruential generator (Numerical Recipes, from memory) scatters the raises.
    noise = (noise * 1_664_525 + 1_013_904_223) % 2 ** 32;
    const priority: Priority = index % emergencyEvery === 7 ? 'emergency' : 'urgent';
    const site = `site-${index % 40}`;
    const atMs = NOW_MS + Math.floor((noise / 2 ** 32) * RAISED_WITHIN_MS);
    return { alarm: alarm(`u${index}`, { site, priority, severity: index % 50 }), atMs };
  }).sort((a, b) => a.atMs - b.atMs);
}

/** The night as a service would live it: each alarm asks by the rota, nobody answers. */
function night(raised: readonly Raised[]): readonly PageToHandOver[] {
  const agenda = new Map<number, { alarm: PagedAlarm; sinceMs: number; paged: PageRecord[] }[]>();
  for (const { alarm: one, atMs } of raised) {
    agenda.set(atMs, [...(agenda.get(atMs) ?? []), { alarm: one, sinceMs: atMs, paged: [] }]);
  }
  let state = emptyPagingState();
  let dueAtMs: number | null = null;
  const pages: PageToHandOver[] = [];
  while (agenda.size > 0 || dueAtMs !== null) {
    const nowMs = Math.min(dueAtMs ?? Number.POSITIVE_INFINITY, ...agenda.keys());
    if (nowMs > NOW_MS + NIGHT_MS) break;
    const asks: PageAsk[] = [];
    for (const asking of agenda.get(nowMs) ?? []) {
      const { site, priority } = asking.alarm;
      const kept = { site, priority, askingSinceMs: asking.sinceMs, paged: asking.paged };
      const idle = {
        state: 'unacknowledged',
        maintenanceUntilMs: null,
        handedOnAtMs: null,
      } as const;
      const steps = nextSteps(ROTA.escalation, ROTA, { ...kept, ...idle }, nowMs);
      if (steps.page === null) continue;
      asks.push({ alarm: asking.alarm, due: steps.page });
      if (steps.dueAtMs === null) continue;
      const next = { ...asking, paged: [...asking.paged, steps.page.record] };
      agenda.set(steps.dueAtMs, [...(agenda.get(steps.dueAtMs) ?? []), next]);
    }
    agenda.delete(nowMs);
    const grouped = groupPages(state, asks, nowMs);
    ({ state, dueAtMs } = grouped);
    pages.push(...grouped.pages);
  }
  return pages;
}

describe('2,000 units that raise within five minutes, and nobody answers', () => {
  it('give six pages to one person in any hour at most, and leave nobody out', () => {
    const cases = fc.record({ seed: fc.nat(), emergencyEvery: fc.constantFrom(10, 400, 5000) });
    fc.assert(
      fc.property(cases, ({ seed, emergencyEvery }) => {
        const raised = storm(seed, emergencyEvery);
        const pages = night(raised);
        for (const name of ['Ana Reyes', 'Ben Okafor', 'Front desk']) {
          const own = pages.filter(({ to }) => to.name === name);
          for (const [index, { atMs }] of own.entries()) {
            const seventh = own[index + 6];
            if (seventh !== undefined) expect(seventh.atMs - atMs).toBeGreaterThanOrEqual(HOUR_MS);
          }
          expect(new Set(own.flatMap(idsOf)).size).toBe(UNITS);
        }
      }),
      { numRuns: 3 },
    );
  });

  it('the first page comes with the first raise, the second says how many there are', () => {
    const raised = storm(1, 5000);
    const own = night(raised).filter(({ to }) => to.name === 'Ana Reyes');
    expect(own[0]).toMatchObject({ atMs: raised[0]?.atMs });
    expect(own.find(({ kind, revision }) => kind === 'storm' && revision === 2)).toMatchObject({
      atMs: (raised[0]?.atMs ?? 0) + 10 * MINUTE_MS,
      alarms: UNITS - 1,
      newAlarms: UNITS - 2,
    });
  });
});
