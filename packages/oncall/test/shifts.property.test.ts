import { CALLS, onCallAt, type Rota, type Shift, shiftsBetween } from '@lineside/oncall';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rotaFrom, statedRota, YEAR_FROM_MS, YEAR_TO_MS, ZONES } from './random-rota.ts';
import { rotaOf } from './rota-texts.ts';

const HOUR_MS = 3_600_000;
const RUNS = { numRuns: 60 };

const instant = fc.integer({ min: YEAR_FROM_MS, max: YEAR_TO_MS - 1 });

function year(rota: Rota, call: 'first' | 'second' = 'first'): Shift[] {
  return shiftsBetween(rota, 'crew', call, YEAR_FROM_MS, YEAR_TO_MS);
}

/** The clock on the wall, by the platform's zones and not by the library under test. */
function wallClockOf(zone: string): (atMs: number) => string {
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    weekday: 'long',
    hour: '2-digit',
    minute: '2-digit',
  });
  return (atMs) => {
    const parts = new Map(format.formatToParts(atMs).map(({ type, value }) => [type, value]));
    return `${parts.get('weekday')?.toLowerCase()} ${parts.get('hour')}:${parts.get('minute')}`;
  };
}

describe('the shifts of a year', () => {
  it('tile the time line, each call by itself', () => {
    fc.assert(
      fc.property(statedRota, (stated) => {
        const rota = rotaFrom(stated);
        for (const call of CALLS) {
          const shifts = year(rota, call);
          if (call === 'second' && stated.second === null) continue;
          expect(shifts[0]?.fromMs).toBeLessThanOrEqual(YEAR_FROM_MS);
          expect(shifts.at(-1)?.toMs).toBeGreaterThanOrEqual(YEAR_TO_MS);
          for (const [index, shift] of shifts.entries()) {
            expect(shift.fromMs).toBeLessThan(shift.toMs);
            if (index > 0) expect(shift.fromMs).toBe(shifts[index - 1]?.toMs);
          }
        }
      }),
      RUNS,
    );
  });

  it('have one person at each instant, or the reason why nobody', () => {
    fc.assert(
      fc.property(statedRota, fc.array(instant, { maxLength: 20 }), (stated, instants) => {
        const rota = rotaFrom(stated);
        const shifts = year(rota);
        for (const atMs of [...instants, ...shifts.slice(1).map(({ fromMs }) => fromMs)]) {
          const holding = shifts.filter(({ fromMs, toMs }) => fromMs <= atMs && atMs < toMs);
          expect(holding).toHaveLength(1);
          const { first } = onCallAt(rota, 'crew', atMs);
          expect({ ...first, fromMs: 0 }).toEqual({ ...holding[0], fromMs: 0 });
          expect(first.person === null).toBe(first.gap !== null);
        }
      }),
      RUNS,
    );
  });

  it('are the same whichever window asks for them', () => {
    fc.assert(
      fc.property(statedRota, instant, fc.nat(90 * 24), (stated, fromMs, hours) => {
        const rota = rotaFrom(stated);
        const toMs = Math.min(fromMs + (hours + 1) * HOUR_MS, YEAR_TO_MS);
        const asked = shiftsBetween(rota, 'crew', 'first', fromMs, toMs);
        const touching = year(rota).filter((shift) => shift.fromMs < toMs && shift.toMs > fromMs);
        // What comes before the first rotation begins where the window does.
        const comparable = (shift: Shift) =>
          shift.id.includes('before') ? { ...shift, fromMs: 0 } : shift;
        expect(asked.map(comparable)).toEqual(touching.map(comparable));
      }),
      RUNS,
    );
  });

  it('have ids that are given once', () => {
    fc.assert(
      fc.property(statedRota, (stated) => {
        const rota = rotaFrom(stated);
        const ids = CALLS.flatMap((call) => year(rota, call)).map(({ id }) => id);
        expect(new Set(ids).size).toBe(ids.length);
      }),
      RUNS,
    );
  });
});

describe('covers and swaps', () => {
  it('never leave nobody where there was somebody, nor fill what nobody has', () => {
    fc.assert(
      fc.property(statedRota, instant, (stated, atMs) => {
        const planned = onCallAt(rotaFrom(stated, []), 'crew', atMs);
        const agreed = onCallAt(rotaFrom(stated), 'crew', atMs);
        expect(agreed.first.person === null).toBe(planned.first.person === null);
        expect(agreed.second?.person === null).toBe(planned.second?.person === null);
        expect(agreed.first.planned).toBe(planned.first.person);
      }),
      { numRuns: 200 },
    );
  });

  it('name the change behind each person who was not planned', () => {
    fc.assert(
      fc.property(statedRota, (stated) => {
        for (const { person, planned, changes, revision } of year(rotaFrom(stated))) {
          if (person !== planned) expect(changes.length).toBeGreaterThan(0);
          expect(revision).toBeGreaterThanOrEqual(changes.length === 0 ? 0 : 1);
        }
      }),
      RUNS,
    );
  });

  it('only raise the revision of a shift when one more is agreed, and always when its person changes', () => {
    fc.assert(
      fc.property(statedRota, (stated) => {
        const before = year(rotaFrom(stated, stated.changes.slice(0, -1)));
        const after = new Map(year(rotaFrom(stated)).map((shift) => [shift.id, shift]));
        for (const shift of before) {
          const now = after.get(shift.id);
          if (now === undefined) continue;
          expect(now.revision).toBeGreaterThanOrEqual(shift.revision);
          if (now.person !== shift.person || now.toMs !== shift.toMs) {
            expect(now.revision).toBeGreaterThan(shift.revision);
          }
        }
      }),
      RUNS,
    );
  });

  it('raise the revision again when they are called off', () => {
    fc.assert(
      fc.property(statedRota, fc.nat(), (stated, pick) => {
        fc.pre(stated.changes.length > 0);
        const index = pick % stated.changes.length;
        const off = stated.changes.map((change, at) =>
          at === index ? { ...change, calledOff: true } : { ...change, calledOff: false },
        );
        const on = off.map((change) => ({ ...change, calledOff: false }));
        // The last change alone: what came after one that is called off may find other people.
        const before = year(rotaFrom(stated, on.slice(0, index + 1)));
        const after = new Map(
          year(rotaFrom(stated, off.slice(0, index + 1))).map((shift) => [shift.id, shift]),
        );
        for (const shift of before) {
          const now = after.get(shift.id);
          if (now !== undefined && now.person !== shift.person) {
            expect(now.revision).toBeGreaterThan(shift.revision);
          }
        }
      }),
      RUNS,
    );
  });
});

describe('hand-overs', () => {
  it.each(ZONES)('are at the stated time by the wall clock in %s, all year', (zone) => {
    const wallClock = wallClockOf(zone);
    const minutes = fc.oneof(fc.nat(1439), fc.integer({ min: 0, max: 240 }));
    fc.assert(
      fc.property(minutes, (minute) => {
        const time = new Date(minute * 60_000).toISOString().slice(11, 16);
        const rota = rotaOf(zone, '2026-01-04', `weekday: sunday, time: "${time}"`);
        for (const { fromMs, toMs, person } of year(rota).slice(1)) {
          expect(person).not.toBeNull();
          const wall = wallClock(fromMs);
          if (wall === `sunday ${time}`) {
            // The first of two: an hour or less before it, the wall does not show the same.
            expect(wallClock(fromMs - HOUR_MS)).not.toBe(wall);
            expect(wallClock(fromMs - HOUR_MS / 2)).not.toBe(wall);
          } else {
            // The wall never showed it that day: it jumped over it, by the change of the clocks.
            const dayMs = Array.from({ length: 24 * 60 }, (_, at) => fromMs + (at - 720) * 60_000);
            expect(dayMs.map((ms) => wallClock(ms))).not.toContain(`sunday ${time}`);
          }
          expect(Math.abs(toMs - fromMs - 168 * HOUR_MS)).toBeLessThanOrEqual(HOUR_MS);
        }
      }),
      { numRuns: 40 },
    );
  });
});
