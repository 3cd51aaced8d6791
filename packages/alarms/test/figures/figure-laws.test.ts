import { PRIORITIES } from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AlarmJournalEntry, alarmFigures } from '../../src/index.ts';
import { happenings, live } from '../random-history.ts';
import { RAISED_MS } from '../sample-alarm.ts';
import { burst, DAY_MS, HOUR_MS } from './journal.ts';

/** A day's grid, so that halves of the window share no 10-minute span. */
const FROM_MS = Math.floor(RAISED_MS / HOUR_MS) * HOUR_MS;

/** Journals of some alarm points on two sites, and a burst that may flood. */
const journals: fc.Arbitrary<readonly AlarmJournalEntry[]> = fc
  .tuple(
    fc.array(happenings, { maxLength: 5 }),
    fc.record({
      alarms: fc.integer({ min: 0, max: 40 }),
      everyMs: fc.integer({ min: 0, max: 90_000 }),
      atMs: fc.integer({ min: FROM_MS - HOUR_MS, max: FROM_MS + DAY_MS }),
    }),
  )
  .map(([histories, { alarms, atMs, everyMs }]) => [
    ...histories.flatMap((history, index) => entriesOf(history, index)),
    ...burst(alarms, atMs, everyMs),
  ]);

function entriesOf(history: Parameters<typeof live>[0], index: number): AlarmJournalEntry[] {
  const place = { site: index % 2 === 0 ? 'pier-nine' : 'old-mill', unit: `rtu-${index}` };
  return live(history).flatMap(({ entries }) =>
    entries.map((entry) => ({
      ...entry,
      alarm: { ...entry.alarm, ...place, id: `${index}-${entry.alarm.id}` },
    })),
  );
}

const days = fc.integer({ min: 1, max: 20 });
const positions = new Map([['pier-nine', 'north']]);

describe('whatever the journal says', () => {
  it('shares of the priorities sum to one, and all shares lie between 0 and 1', () => {
    fc.assert(
      fc.property(journals, days, (entries, length) => {
        const window = { fromMs: FROM_MS, toMs: FROM_MS + length * DAY_MS };
        for (const figures of alarmFigures(entries, window, positions)) {
          const shares = PRIORITIES.map((priority) => figures.byPriority[priority].share ?? 0);
          const sum = shares.reduce((a, b) => a + b, 0);
          expect(sum).toBeCloseTo(figures.alarms === 0 ? 0 : 1, 12);
          const { shareOfSpansOverTen, shareOfTimeFlooded, shareOfMostFrequent } = figures;
          const all = [shareOfSpansOverTen, shareOfTimeFlooded, shareOfMostFrequent ?? 0];
          expect([...shares, ...all].every((share) => share >= 0 && share <= 1)).toBe(true);
        }
      }),
    );
  });

  it('the order of the entries and entries handed in twice change nothing', () => {
    const shuffled = journals.chain((entries) =>
      fc.tuple(
        fc.constant(entries),
        fc.shuffledSubarray([...entries, ...entries.slice(0, 9)], {
          minLength: entries.length + Math.min(9, entries.length),
        }),
      ),
    );
    const window = { fromMs: FROM_MS, toMs: FROM_MS + 3 * DAY_MS };
    fc.assert(
      fc.property(shuffled, ([entries, otherwise]) => {
        expect(alarmFigures(otherwise, window, positions)).toEqual(
          alarmFigures(entries, window, positions),
        );
      }),
    );
  });

  it('counts and flood times of two halves add up to the whole', () => {
    const cut = fc.integer({ min: 1, max: 143 });
    fc.assert(
      fc.property(journals, cut, (entries, spans) => {
        const cutMs = FROM_MS + spans * 600_000;
        const toMs = FROM_MS + DAY_MS;
        const of = (fromMs: number, untilMs: number) =>
          alarmFigures(entries, { fromMs, toMs: untilMs }, positions);
        const [first, second] = [of(FROM_MS, cutMs), of(cutMs, toMs)];
        for (const [index, whole] of of(FROM_MS, toMs).entries()) {
          const halves = [first[index], second[index]].flatMap((one) => one ?? []);
          const sum = (pick: (one: typeof whole) => number) =>
            halves.reduce((total, one) => total + pick(one), 0);
          for (const name of ['alarms', 'spans', 'spansOverTen', 'floodedMs'] as const) {
            expect(sum((one) => one[name])).toBe(whole[name]);
          }
          for (const priority of PRIORITIES) {
            const { alarms, acknowledged } = whole.byPriority[priority];
            expect(sum((one) => one.byPriority[priority].alarms)).toBe(alarms);
            expect(sum((one) => one.byPriority[priority].acknowledged)).toBe(acknowledged);
          }
        }
      }),
    );
  });

  it('sites sum to the fleet', () => {
    const window = { fromMs: FROM_MS, toMs: FROM_MS + 3 * DAY_MS };
    fc.assert(
      fc.property(journals, (entries) => {
        const [fleet, ...parts] = alarmFigures(entries, window);
        const sum = parts.reduce((total, { alarms }) => total + alarms, 0);
        expect(sum).toBe(fleet?.alarms);
      }),
    );
  });
});
