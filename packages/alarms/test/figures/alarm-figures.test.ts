import { describe, expect, it } from 'vitest';
import {
  type AlarmFigures,
  type AlarmJournalEntry,
  alarmFigures,
  applyFinding,
} from '../../src/index.ts';
import { contextOf, escalated, opened } from '../sample-alarm.ts';
import { burst, DAY_MS, FROM_MS, HOUR_MS, journalOf, MINUTE_MS, type Story } from './journal.ts';

const DAY = { fromMs: FROM_MS, toMs: FROM_MS + DAY_MS };

function fleet(entries: readonly AlarmJournalEntry[], window = DAY): AlarmFigures {
  const [figures] = alarmFigures(entries, window);
  if (figures === undefined) throw new Error('the fleet is missing');
  return figures;
}

function told(stories: readonly Story[]): readonly AlarmJournalEntry[] {
  return stories.flatMap(journalOf);
}

describe('rates', () => {
  it('144 alarms spread over a day are one in 10 minutes', () => {
    const figures = fleet(burst(144, FROM_MS, 10 * MINUTE_MS));
    expect(figures).toMatchObject({ alarms: 144, perDayMean: 144, perDayPeak: 144 });
    expect(figures).toMatchObject({ perTenMinutesMean: 1, perTenMinutesPeak: 1, spans: 144 });
    expect(figures).toMatchObject({ shareOfSpansOverTen: 0, floods: 0, floodedMs: 0 });
  });

  it('the window begins with its first and ends before its last millisecond', () => {
    const times = [DAY.fromMs - 1, DAY.fromMs, DAY.toMs - 1, DAY.toMs];
    expect(fleet(told(times.map((atMs) => ({ atMs })))).alarms).toBe(2);
  });

  it('the peaks are of the worst day and the worst 10 minutes', () => {
    const entries = [...burst(12, FROM_MS + HOUR_MS, 1000), ...burst(3, FROM_MS + DAY_MS, 1000)];
    const figures = fleet(entries, { fromMs: FROM_MS, toMs: FROM_MS + 2 * DAY_MS });
    expect(figures).toMatchObject({ perDayMean: 7.5, perDayPeak: 12, perTenMinutesPeak: 12 });
    expect(figures.shareOfSpansOverTen).toBe(1 / 288);
  });

  it('ten alarms in 10 minutes are not more than ten', () => {
    const figures = fleet(burst(10, FROM_MS, MINUTE_MS));
    expect(figures).toMatchObject({ perTenMinutesPeak: 10, spansOverTen: 0, floods: 0 });
  });
});

describe('floods', () => {
  it('one begins with the eleventh alarm and ends when fewer than five came in 10 minutes', () => {
    // 11 alarms, a second apart: the fifth last, at second 6, leaves the 10 minutes at 606 s.
    const figures = fleet(burst(11, FROM_MS, 1000));
    expect(figures).toMatchObject({ floods: 1, floodedMs: 596_000 });
    expect(figures.shareOfTimeFlooded).toBeCloseTo(596 / 86_400, 12);
  });

  it('five alarms in each 10 minutes keep it going, four end it', () => {
    const going = [...burst(11, FROM_MS, 1000), ...burst(20, FROM_MS + 2 * MINUTE_MS, 110_000)];
    expect(fleet(going).floods).toBe(1);
    expect(fleet(going).floodedMs).toBeGreaterThan(30 * MINUTE_MS);
    const over = [...burst(11, FROM_MS, 1000), ...burst(20, FROM_MS + 5 * MINUTE_MS, 160_000)];
    expect(fleet(over).floodedMs).toBeLessThan(12 * MINUTE_MS);
  });

  it('one that spans the 10-minute grid is seen', () => {
    const figures = fleet(burst(12, FROM_MS + 9.5 * MINUTE_MS, 5000));
    expect(figures).toMatchObject({ spansOverTen: 0, floods: 1 });
  });

  it('of one that begins before the window its part counts', () => {
    const window = { fromMs: FROM_MS + 5 * MINUTE_MS, toMs: FROM_MS + DAY_MS };
    const figures = fleet(burst(11, FROM_MS, 1000), window);
    expect(figures).toMatchObject({ alarms: 0, floods: 1, floodedMs: 306_000 });
  });
});

describe('alarm points', () => {
  it('the ten most frequent come first, with their share', () => {
    const points = Array.from({ length: 12 }, (_, index) => index);
    const stories = points.flatMap((index) =>
      Array.from({ length: index === 7 ? 9 : 1 }, (_, turn) => ({
        unit: `rtu-${index}`,
        atMs: FROM_MS + turn * 2 * HOUR_MS,
      })),
    );
    const { mostFrequent, shareOfMostFrequent } = fleet(told(stories));
    expect(mostFrequent).toHaveLength(10);
    expect(mostFrequent[0]).toMatchObject({ unit: 'rtu-7', kind: 'leakage', alarms: 9 });
    expect(shareOfMostFrequent).toBe(18 / 20);
  });

  it('three raises of one point within a minute chatter, of three points they do not', () => {
    const at = [0, 30_000, 60_000].map((afterMs) => FROM_MS + HOUR_MS + afterMs);
    const same = told(at.map((atMs) => ({ atMs })));
    expect(fleet(same).chattering).toMatchObject([{ unit: 'rtu-01', alarms: 3 }]);
    const apart = told(at.map((atMs, index) => ({ atMs, unit: `rtu-${index}` })));
    expect(fleet(apart).chattering).toEqual([]);
    const slow = told([0, 30_000, 60_001].map((ms) => ({ atMs: FROM_MS + ms })));
    expect(fleet(slow).chattering).toEqual([]);
  });

  it('a rise of priority counts as an alarm but is no chatter', () => {
    const context = contextOf();
    const first = applyFinding(null, opened(FROM_MS), context);
    const second = applyFinding(first[0]?.alarm ?? null, escalated(FROM_MS + 1, 'urgent'), context);
    const third = applyFinding(
      second[0]?.alarm ?? null,
      escalated(FROM_MS + 2, 'emergency'),
      context,
    );
    const figures = fleet([...first, ...second, ...third]);
    expect(figures).toMatchObject({ alarms: 3, chattering: [] });
    expect(figures.byPriority.emergency.share).toBeCloseTo(1 / 3, 12);
  });
});

describe('stale alarms', () => {
  const threeDays = { fromMs: FROM_MS, toMs: FROM_MS + 3 * DAY_MS };

  it('one is stale once it stood for more than 24 hours', () => {
    const clearedAtMs = FROM_MS + DAY_MS;
    expect(fleet(told([{ atMs: FROM_MS, clearedAtMs }]), threeDays).stale.alarms).toBe(0);
    const longer = told([{ atMs: FROM_MS, clearedAtMs: clearedAtMs + 1 }]);
    expect(fleet(longer, threeDays).stale).toEqual({ alarms: 1, onWorstDay: 1, atEnd: 0 });
  });

  it('the worst day is the one with most of them, and what still stands is stale at the end', () => {
    const stories = [
      { atMs: FROM_MS - 5 * DAY_MS, clearedAtMs: FROM_MS + HOUR_MS },
      { atMs: FROM_MS - 2 * DAY_MS, unit: 'rtu-02', clearedAtMs: FROM_MS + 2 * HOUR_MS },
      { atMs: FROM_MS + DAY_MS, unit: 'rtu-03' },
    ];
    const { stale } = fleet(told(stories), threeDays);
    expect(stale).toEqual({ alarms: 3, onWorstDay: 2, atEnd: 1 });
  });

  it('clearing in between begins the 24 hours anew', () => {
    const story = { clearedAtMs: FROM_MS + 20 * HOUR_MS, reopenedAtMs: FROM_MS + 20.5 * HOUR_MS };
    const window = { fromMs: FROM_MS, toMs: FROM_MS + 44 * HOUR_MS };
    expect(fleet(told([{ atMs: FROM_MS, ...story }]), window).stale.alarms).toBe(0);
  });
});

describe('priorities and answers', () => {
  it('shares and times to acknowledge are per priority', () => {
    const stories = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11].map((minutes) => ({
      unit: `rtu-${minutes}`,
      atMs: FROM_MS + HOUR_MS,
      acknowledgedAtMs: FROM_MS + HOUR_MS + minutes * MINUTE_MS,
    }));
    const urgent = { unit: 'rtu-99', priority: 'urgent', atMs: FROM_MS } as const;
    const { byPriority } = fleet(told([...stories, urgent]));
    expect(byPriority.routine).toEqual({
      alarms: 11,
      share: 11 / 12,
      acknowledged: 11,
      acknowledgedAfterMedianMs: 6 * MINUTE_MS,
      acknowledgedAfter90PercentMs: 10 * MINUTE_MS,
    });
    expect(byPriority.urgent).toMatchObject({ acknowledged: 0, acknowledgedAfterMedianMs: null });
    expect(byPriority.emergency).toMatchObject({ alarms: 0, share: 0 });
  });

  it('an acknowledgement after the window still answers', () => {
    const late = { atMs: FROM_MS + DAY_MS - 1000, acknowledgedAtMs: FROM_MS + DAY_MS + 1000 };
    expect(fleet(told([late])).byPriority.routine.acknowledgedAfterMedianMs).toBe(2000);
  });

  it('one that came back is answered anew', () => {
    const story = {
      atMs: FROM_MS,
      acknowledgedAtMs: FROM_MS + MINUTE_MS,
      clearedAtMs: FROM_MS + HOUR_MS,
      reopenedAtMs: FROM_MS + HOUR_MS + MINUTE_MS,
    };
    expect(fleet(told([story])).byPriority.routine).toMatchObject({ alarms: 2, acknowledged: 1 });
  });
});

describe('what judging anew changes', () => {
  const cleared = journalOf({ atMs: FROM_MS, clearedAtMs: FROM_MS + HOUR_MS });
  const last = cleared.at(-1);
  if (last === undefined) throw new Error('nothing was raised');
  const { alarm } = last;
  const revision = { by: 'watch', note: null, from: last.to, event: 'revise' } as const;

  it('a rise that a revision brings counts at the time of the rise', () => {
    const rise = { priority: 'urgent', sinceMs: FROM_MS + MINUTE_MS, causes: [] } as const;
    const priorities = [...alarm.priorities, rise];
    const entry: AlarmJournalEntry = {
      ...revision,
      atMs: FROM_MS + 2 * DAY_MS,
      to: 'returned-unacknowledged',
      alarm: { ...alarm, priority: 'urgent', priorities, revision: alarm.revision + 1 },
    };
    const figures = fleet([...cleared, entry]);
    expect(figures.alarms).toBe(2);
    expect(figures.byPriority.urgent.alarms).toBe(1);
  });

  it('a clearing that was taken back leaves the alarm standing from its raise on', () => {
    const entry: AlarmJournalEntry = {
      ...revision,
      atMs: FROM_MS + 2 * HOUR_MS,
      to: 'unacknowledged',
      alarm: {
        ...alarm,
        standing: true,
        clearedAtMs: null,
        revision: alarm.revision + 1,
      },
    };
    const window = { fromMs: FROM_MS, toMs: FROM_MS + DAY_MS + 1 };
    expect(fleet([...cleared, entry], window).stale.atEnd).toBe(1);
    expect(fleet(cleared, window).stale.atEnd).toBe(0);
  });
});

describe('scopes', () => {
  const entries = told([
    { site: 'pier-nine', atMs: FROM_MS },
    { site: 'harbour-mall', atMs: FROM_MS },
    { site: 'old-mill', atMs: FROM_MS },
  ]);

  it('come in order: fleet, positions, sites; also those without alarms', () => {
    const positions = new Map([
      ['pier-nine', 'north'],
      ['harbour-mall', 'north'],
      ['quiet-row', 'south'],
    ]);
    const figures = alarmFigures(entries, DAY, positions);
    expect(figures.map(({ scope, alarms }) => [...Object.values(scope), alarms].join(' '))).toEqual(
      [
        'fleet 3',
        'position north 2',
        'position south 0',
        'site harbour-mall 1',
        'site old-mill 1',
        'site pier-nine 1',
        'site quiet-row 0',
      ],
    );
  });

  it('a window that makes no sense is refused', () => {
    const { fromMs } = DAY;
    expect(() => alarmFigures([], { fromMs, toMs: fromMs })).toThrow('from before to');
    expect(() => alarmFigures([], { fromMs, toMs: fromMs + 0.5 })).toThrow('whole ms');
    expect(() => alarmFigures([], { fromMs, toMs: fromMs + 367 * DAY_MS })).toThrow('366 days');
  });
});
