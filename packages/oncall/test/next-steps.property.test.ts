import { type AskingAlarm, LEVELS, nextSteps, type PageRecord, type Rota } from '@lineside/oncall';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rotaFrom, statedRota, YEAR_FROM_MS, YEAR_TO_MS } from './random-rota.ts';

const MINUTE_MS = 60_000;
const RUNS = { numRuns: 100 };

/** More than the longest ladder needs: each level, and a wait before each. */
const ASKS_MOST = 20;

const priority = fc.constantFrom('routine', 'urgent', 'emergency');
const raised = fc.integer({ min: YEAR_FROM_MS, max: YEAR_TO_MS });

function newAlarm(priority: AskingAlarm['priority'], askingSinceMs: number): AskingAlarm {
  return {
    site: 'pier',
    priority,
    state: 'unacknowledged',
    askingSinceMs,
    maintenanceUntilMs: null,
    handedOnAtMs: null,
    paged: [],
  };
}

interface Run {
  readonly paged: readonly PageRecord[];
  /** When it was asked, and when that said to ask again. */
  readonly asks: readonly { readonly atMs: number; readonly dueAtMs: number | null }[];
  readonly alarm: AskingAlarm;
}

/**
 * Asks when it is due, and at other times as well. After each answer everything is forgotten but
 * what a record store keeps as JSON.
 */
function run(rota: Rota, alarm: AskingAlarm, between: readonly number[] = []): Run {
  let now = alarm;
  let atMs: number | null = alarm.askingSinceMs;
  const asks: Run['asks'][number][] = [];
  const extra = between.toSorted((a, b) => a - b);
  while (atMs !== null) {
    if (asks.length > ASKS_MOST + between.length) throw new Error('it never comes to an end');
    const { page, dueAtMs } = nextSteps(rota.escalation, rota, now, atMs);
    asks.push({ atMs, dueAtMs });
    if (page !== null) now = { ...now, paged: [...now.paged, page.record] };
    now = JSON.parse(JSON.stringify(now)) as AskingAlarm;
    const next = extra.findIndex(
      (ms) => ms > asks.at(-1)!.atMs && (dueAtMs === null || ms < dueAtMs),
    );
    atMs = dueAtMs === null || next < 0 ? dueAtMs : (extra[next] ?? null);
  }
  return { paged: now.paged, asks, alarm: now };
}

describe('whom an unanswered alarm asks', () => {
  it('does not depend on restarts, nor on being asked in between', () => {
    const between = fc.array(fc.nat(3 * 24 * 60), { maxLength: 15 });
    const handedOn = fc.option(fc.nat(6 * 60));
    const parts = fc.tuple(statedRota, priority, raised, between, handedOn);
    fc.assert(
      fc.property(parts, ([stated, priority, sinceMs, minutes, on]) => {
        const rota = rotaFrom(stated);
        const handedOnAtMs = on === null ? null : sinceMs + on * MINUTE_MS;
        const alarm = { ...newAlarm(priority, sinceMs), handedOnAtMs };
        const extra = minutes.map((minute) => sinceMs + minute * MINUTE_MS);
        expect(run(rota, alarm, extra).paged).toEqual(run(rota, alarm).paged);
      }),
      RUNS,
    );
  });

  it('comes to the office in the end, level by level, each person once a level', () => {
    fc.assert(
      fc.property(statedRota, priority, raised, (stated, priority, sinceMs) => {
        const { paged } = run(rotaFrom(stated), newAlarm(priority, sinceMs));
        const order = paged.map(({ level }) => LEVELS.indexOf(level));
        expect(order).toEqual([...new Set(order)].sort());
        expect(paged.at(-1)?.level).toBe('office');
        for (const { people } of paged) expect(new Set(people).size).toBe(people.length);
        const byCalls = paged.filter(({ level }) => level === 'first' || level === 'second');
        const called = byCalls.flatMap(({ people }) => people);
        expect(new Set(called).size).toBe(called.length);
      }),
      RUNS,
    );
  });

  it('is due at times that never go back and always lie ahead', () => {
    fc.assert(
      fc.property(statedRota, priority, raised, fc.nat(999), (stated, priority, sinceMs, on) => {
        const handedOnAtMs = sinceMs + on * MINUTE_MS;
        const alarm = { ...newAlarm(priority, sinceMs), handedOnAtMs };
        const { asks } = run(rotaFrom(stated), alarm);
        let lastMs = Number.NEGATIVE_INFINITY;
        for (const { atMs, dueAtMs } of asks) {
          if (dueAtMs === null) continue;
          expect(dueAtMs).toBeGreaterThan(atMs);
          expect(dueAtMs).toBeGreaterThanOrEqual(lastMs);
          lastMs = dueAtMs;
        }
      }),
      RUNS,
    );
  });

  it('is never asked before its time when the service was down, and the levels stay in order', () => {
    fc.assert(
      fc.property(
        statedRota,
        priority,
        raised,
        fc.array(fc.nat(24 * 60), { minLength: ASKS_MOST, maxLength: ASKS_MOST }),
        (stated, priority, sinceMs, lateByMinutes) => {
          const rota = rotaFrom(stated);
          let now = newAlarm(priority, sinceMs);
          let dueAtMs: number | null = sinceMs;
          for (const late of lateByMinutes) {
            if (dueAtMs === null) break;
            const atMs: number = dueAtMs + late * MINUTE_MS;
            const steps = nextSteps(rota.escalation, rota, now, atMs);
            if (steps.page !== null) now = { ...now, paged: [...now.paged, steps.page.record] };
            dueAtMs = steps.dueAtMs;
          }
          const waitMs = rota.escalation[priority].acknowledgeWithinMinutes * MINUTE_MS;
          for (const [index, page] of now.paged.entries()) {
            const before = now.paged[index - 1];
            if (before === undefined) continue;
            expect(page.atMs - before.atMs).toBeGreaterThanOrEqual(waitMs);
            expect(LEVELS.indexOf(page.level)).toBeGreaterThan(LEVELS.indexOf(before.level));
          }
        },
      ),
      RUNS,
    );
  });
});

describe('an alarm that was answered', () => {
  const answered = fc.constantFrom(
    'acknowledged',
    'normal',
    'returned-unacknowledged',
    'shelved',
    'suppressed',
    'out-of-service',
  );

  it('never asks again, however far it had come', () => {
    fc.assert(
      fc.property(
        statedRota,
        priority,
        raised,
        fc.nat(4),
        answered,
        fc.nat(30 * 24 * 60),
        (stated, priority, sinceMs, pages, state, minutes) => {
          const rota = rotaFrom(stated);
          const { paged } = run(rota, newAlarm(priority, sinceMs));
          const asked = { ...newAlarm(priority, sinceMs), paged: paged.slice(0, pages), state };
          const atMs = sinceMs + minutes * MINUTE_MS;
          const { page, dueAtMs } = nextSteps(rota.escalation, rota, asked, atMs);
          expect([page, dueAtMs]).toEqual([null, null]);
        },
      ),
      RUNS,
    );
  });
});

describe('an alarm that rises', () => {
  it('asks as a new one of the higher priority would from then on', () => {
    fc.assert(
      fc.property(statedRota, raised, fc.nat(3 * 24 * 60), (stated, sinceMs, minutes) => {
        const rota = rotaFrom(stated);
        const riseMs = sinceMs + minutes * MINUTE_MS;
        const low = run(rota, newAlarm('routine', sinceMs)).paged.filter(
          ({ atMs }) => atMs <= riseMs,
        );
        const risen = { ...newAlarm('emergency', riseMs), paged: low };
        const fresh = run(rota, newAlarm('emergency', riseMs)).paged;
        expect(run(rota, risen).paged.slice(low.length)).toEqual(fresh);
      }),
      RUNS,
    );
  });
});
