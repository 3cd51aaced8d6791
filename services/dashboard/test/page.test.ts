import { describe, expect, it } from 'vitest';
import { answersFor, isUnanswered, mayPutAside } from '../src/page/alarm-answers.ts';
import { bandPath, meanPath, PLOT, panelsOf, scaleOf } from '../src/page/chart-shape.ts';
import { panelWords } from '../src/page/chart-words.ts';
import type { PageAlarm, PageAlarmDetail, PageChart, PageSite } from '../src/page/page-types.ts';
import {
  answeredWords,
  dangersWords,
  isOnTheWay,
  journalWords,
  probablyWords,
  sinceWords,
} from '../src/page/page-words.ts';

const HOUR_MS = 3_600_000;
const NOW_MS = Date.UTC(2026, 0, 14, 7, 10);
const ZONE = 'America/Halifax';

const ALARM: PageAlarm = {
  id: 'one',
  site: 'harbour',
  unit: 'rtu-01',
  unitName: 'RTU-1',
  kind: 'leakage',
  priority: 'urgent',
  state: 'unacknowledged',
  standing: true,
  withdrawn: false,
  headline: 'Leakage to ground 14 mA',
  since: '2026-01-14T06:30:00Z',
  cleared: null,
  acknowledged: null,
  acknowledgedBy: null,
  shelvedUntil: null,
  shelvedBy: null,
  shelveReason: null,
};

const DETAIL: PageAlarmDetail = {
  id: 'one',
  causes: [],
  checks: [],
  bring: [],
  cautions: [],
  access: null,
  fuses: { class: null, amps: null },
  volts: null,
  journal: [],
};

type Line = PageAlarmDetail['journal'][number];
const line = (event: Line['event'], note: string | null = null): Line => ({
  time: '2026-01-14T06:30:00Z',
  by: 'Ana (page)',
  event,
  note,
});

const actions = (alarm: PageAlarm, detail: PageAlarmDetail, isDangerous: boolean): string[] =>
  answersFor(alarm, detail, isDangerous).map(({ action }) => action);

describe('the buttons of an alarm', () => {
  it('begin with on my way, but never where the roof is dangerous', () => {
    expect(actions(ALARM, DETAIL, false)).toEqual(['on-my-way', 'acknowledge', 'hand-on']);
    expect(actions(ALARM, DETAIL, true)[0]).toBe('acknowledge');
  });

  it('offer to say on my way after an acknowledgement, once', () => {
    const acknowledged = { ...ALARM, state: 'acknowledged' } as const;
    expect(actions(acknowledged, DETAIL, false)).toEqual(['on-my-way']);
    const said = { ...DETAIL, journal: [line('acknowledge', 'on my way'), line('raise')] };
    expect(actions(acknowledged, said, false)).toEqual([]);
  });

  it('are none where nothing can be done', () => {
    for (const state of ['normal', 'shelved', 'suppressed', 'out-of-service'] as const) {
      const alarm = { ...ALARM, state };
      expect(actions(alarm, DETAIL, false)).toEqual([]);
      expect([mayPutAside(alarm), isUnanswered(alarm)]).toEqual([false, false]);
    }
    expect(actions({ ...ALARM, withdrawn: true }, DETAIL, false)).toEqual([]);
    expect(actions({ ...ALARM, state: 'returned-unacknowledged' }, DETAIL, false)).toEqual([
      'acknowledge',
    ]);
  });
});

describe('the words of a page', () => {
  it('say times in the zone of the site', () => {
    expect(sinceWords(ALARM, ZONE, NOW_MS)).toBe('Since today 02:30 AST, for 40 min');
    const over = { ...ALARM, cleared: '2026-01-14T06:50:00Z' };
    expect(sinceWords(over, ZONE, NOW_MS)).toBe('From today 02:30 AST to today 02:50');
  });

  it('say the probable cause, or what is next when it is not known', () => {
    const unknown = { cause: 'unknown', probability: 0.74, because: [] } as const;
    const fuse = { cause: 'open-fuse', probability: 0.2, because: [] } as const;
    expect(probablyWords(DETAIL)).toBeNull();
    expect(probablyWords({ ...DETAIL, causes: [fuse] })).toBe('Probably: fuse open (20 in 100)');
    expect(probablyWords({ ...DETAIL, causes: [unknown, fuse] })).toBe(
      'Cause not determined; perhaps fuse open (20 in 100)',
    );
  });

  it('name each danger with its sites', () => {
    const site = (name: string, roofDanger: PageSite['roofDanger']): PageSite => ({
      ...{ site: name, name, timezone: ZONE, standing: 1 },
      roofDanger,
    });
    expect(dangersWords([site('Mill', null)])).toBe('');
    const sites = [site('Mill', 'ice'), site('Mall', 'wind'), site('School', 'wind')];
    expect(dangersWords(sites)).toBe('Ice at Mill; High wind at Mall and School.');
    const many = ['a', 'b', 'c'].map((name) => site(name, 'ice'));
    expect(dangersWords(many)).toBe('Ice at 3 sites.');
  });

  it('tell who did what, and what happened by itself without a name', () => {
    expect(journalWords(line('acknowledge', 'on my way'), ZONE, NOW_MS)).toEqual({
      when: 'today 02:30',
      what: 'Acknowledged by Ana (page): on my way',
    });
    expect(journalWords({ ...line('raise'), by: 'watch' }, ZONE, NOW_MS).what).toBe('Raised');
    const shelved: PageAlarm = {
      ...ALARM,
      state: 'shelved',
      shelvedBy: 'Ben',
      shelveReason: 'parts come',
      shelvedUntil: '2026-01-14T12:00:00Z',
    };
    expect(answeredWords(shelved, ZONE, NOW_MS)).toBe(
      'Put aside by Ben until today 08:00: parts come',
    );
  });

  it('forget on my way once the alarm asks again', () => {
    const went = line('acknowledge', 'on my way');
    expect(isOnTheWay({ ...DETAIL, journal: [went, line('raise')] })).toBe(true);
    expect(isOnTheWay({ ...DETAIL, journal: [line('escalate'), went] })).toBe(false);
  });
});

const START_MS = NOW_MS - 7 * 24 * HOUR_MS;
const chartOf = (channel: string, points: readonly (readonly number[])[]): PageChart => ({
  from: new Date(START_MS).toISOString(),
  to: new Date(NOW_MS).toISOString(),
  lines: [{ channel, unit: null, points }],
  limits: channel === 'leak' ? [{ channel, value: 0.01 }] : [],
});

describe('the chart of a page', () => {
  const points = [
    [START_MS, 0.001, 0.0012, 0.002],
    [START_MS + HOUR_MS, 0.001, 0.0013, 0.002],
    [NOW_MS - 60_000, 0.014, 0.014, 0.014],
  ];
  const [panel] = panelsOf(chartOf('leak', points));

  it('says in words what it shows', () => {
    expect(panelWords(panel!, ZONE, NOW_MS).replaceAll('\u00a0', ' ')).toBe(
      'Leakage to ground: 1.2 mA at first, highest 14 mA (14 Jan), now 14 mA. ' +
        'Urgent from 10 mA (dashed).',
    );
  });

  it('breaks its line where nothing was heard and draws a lone reading as a dot', () => {
    const scale = scaleOf(panel!, START_MS, NOW_MS);
    const path = meanPath(panel!.lines[0]!, scale);
    expect(path.match(/M/g)).toHaveLength(2);
    expect(path.endsWith('h0')).toBe(true);
    expect(bandPath(panel!.lines[0]!, scale).match(/M/g)).toHaveLength(1);
  });

  it.each([
    ['leak', [0.0002, 0.0002]],
    ['rh', [61, 61]],
    ['vab', [598, 603]],
    ['ia', [0, 29]],
    ['ia', [0, 0]],
  ])('keeps %s within its frame, above zero, with a range to be read', (channel, values) => {
    const rows = values.map((value, index) => [START_MS + index * HOUR_MS, value, value, value]);
    const [one] = panelsOf(chartOf(channel, rows));
    const scale = scaleOf(one!, START_MS, NOW_MS);
    expect(scale.low).toBeGreaterThanOrEqual(0);
    expect(scale.high - scale.low).toBeGreaterThan(0);
    for (const [, low, , high] of one!.lines[0]!.points) {
      expect(scale.y(low)).toBeLessThanOrEqual(PLOT.bottom);
      expect(scale.y(high)).toBeGreaterThanOrEqual(PLOT.top);
    }
  });

  it('has no panel for a channel that it does not know, and none without readings', () => {
    expect(panelsOf(chartOf('door', [[START_MS, 1, 1, 1]]))).toEqual([]);
    expect(panelsOf({ ...chartOf('leak', []), lines: [] })).toEqual([]);
  });
});
