import { describe, expect, it } from 'vitest';
import {
  DEFAULT_PAGING_LIMITS,
  emptyPagingState,
  groupPages,
  type PageAsk,
  type PageToHandOver,
  withoutAlarms,
} from '../src/index.ts';
import {
  ANA,
  ask,
  BEN,
  emergency,
  HOUR_MS,
  idsOf,
  MINUTE_MS,
  NOW_MS,
  OFFICE,
} from './sample-asks.ts';

/** Pages that come of asks at minutes after the beginning, with a look each minute between. */
function pagesOf(
  asksAt: Readonly<Record<number, readonly PageAsk[]>>,
  untilMinute: number,
): readonly PageToHandOver[] {
  let state = emptyPagingState();
  const pages: PageToHandOver[] = [];
  for (let minute = 0; minute <= untilMinute; minute += 1) {
    const grouped = groupPages(state, asksAt[minute] ?? [], NOW_MS + minute * MINUTE_MS);
    state = grouped.state;
    pages.push(...grouped.pages);
  }
  return pages;
}

function timeline(pages: readonly PageToHandOver[]): readonly string[] {
  return pages.map(
    ({ kind, revision, atMs, alarms }) =>
      `${(atMs - NOW_MS) / MINUTE_MS} min: ${kind} ${revision}, ${alarms}`,
  );
}

describe('a storm', () => {
  const wave = (count: number, prefix: string) =>
    Array.from({ length: count }, (_, index) => ask(`${prefix}${index}`));

  it('is one page: the first alarm at once, all others when it is handed over again', () => {
    const pages = pagesOf({ 0: [ask('a')], 1: wave(30, 'b'), 4: wave(9, 'c') }, 59);
    expect(timeline(pages)).toEqual(['0 min: storm 1, 1', '10 min: storm 2, 40']);
    expect(new Set(pages.map(({ key }) => key)).size).toBe(1);
    expect(pages[1]?.newAlarms).toBe(39);
  });

  it('names the worst three and the order to visit, all of a site before the next', () => {
    const [page] = pagesOf(
      {
        0: [
          ask('a', { site: 'old-mill', severity: 12 }),
          ask('b', { severity: 30 }),
          ask('c', { site: 'old-mill', priority: 'routine', kind: 'moisture', severity: 99 }),
          ask('d', { site: 'quiet-row', severity: 20 }),
          ask('e', { severity: 1 }),
        ],
      },
      0,
    );
    expect(page?.worst.map(({ id }) => id)).toEqual(['b', 'd', 'a']);
    expect(page === undefined ? [] : idsOf(page)).toEqual(['b', 'e', 'd', 'a', 'c']);
  });

  it('ends an hour after the last alarm that joined; the next one is another storm', () => {
    const pages = pagesOf({ 0: [ask('a')], 60: [ask('b')], 121: [ask('c')] }, 121);
    expect(timeline(pages)).toEqual([
      '0 min: storm 1, 1',
      '60 min: storm 2, 2',
      '121 min: storm 1, 1',
    ]);
  });

  it('an alarm that is answered leaves the page, the others stay answerable', () => {
    const { state } = groupPages(emptyPagingState(), [ask('a'), ask('b'), ask('c')], NOW_MS);
    const answered = withoutAlarms(state, new Set(['b']));
    const [page] = groupPages(answered, [ask('d')], NOW_MS + 10 * MINUTE_MS).pages;
    expect(page === undefined ? [] : idsOf(page)).toEqual(['a', 'c', 'd']);
    expect(withoutAlarms(state, new Set(['a', 'b', 'c'])).people[0]?.pages).toEqual([]);
  });

  it('an alarm that rises to emergency leaves it and pages alone', () => {
    const { state } = groupPages(emptyPagingState(), [ask('a'), ask('b')], NOW_MS);
    const risen = groupPages(state, [emergency('a')], NOW_MS + 1);
    expect(risen.pages.map((page) => [page.kind, idsOf(page)])).toEqual([['alone', ['a']]]);
    const [left] = risen.state.people[0]?.pages ?? [];
    expect(left?.members.map(({ alarm: { id } }) => id)).toEqual(['b']);
  });
});

describe('emergencies', () => {
  it('three in an hour page alone and at once, the others in one page that names all', () => {
    const pages = pagesOf(
      { 0: [emergency('a')], 1: [emergency('b'), emergency('c')], 2: [emergency('d')] },
      3,
    );
    expect(timeline(pages)).toEqual([
      '0 min: alone 1, 1',
      '1 min: alone 1, 1',
      '1 min: alone 1, 1',
      '3 min: emergencies 1, 1',
    ]);
    expect(pages[3]?.alsoOpen.map(({ id }) => id)).toEqual(['a', 'b', 'c']);
  });

  it('that a squall raises within seconds are all named by the first page they share', () => {
    let state = emptyPagingState();
    const titles: string[] = [];
    for (let second = 0; second <= 6; second += 1) {
      const asks =
        second < 4 ? Array.from({ length: 5 }, (_, n) => emergency(`${second}-${n}`)) : [];
      const grouped = groupPages(state, asks, NOW_MS + second * 1000);
      state = grouped.state;
      titles.push(...grouped.pages.map(({ kind, alarms }) => `${second} s: ${kind} ${alarms}`));
    }
    const alone = ['0 s: alone 1', '0 s: alone 1', '0 s: alone 1'];
    expect(titles).toEqual([...alone, '5 s: emergencies 17']);
  });

  it('are told at once in the midst of a storm that has used its share', () => {
    const storm = Array.from({ length: 20 }, (_, minute) => [minute, [ask(`s${minute}`)]]);
    const pages = pagesOf(
      {
        ...Object.fromEntries(storm),
        20: [emergency('a'), emergency('b'), emergency('c'), emergency('d')],
      },
      21,
    );
    expect(timeline(pages)).toEqual([
      '0 min: storm 1, 1',
      '10 min: storm 2, 11',
      '20 min: alone 1, 1',
      '20 min: alone 1, 1',
      '20 min: alone 1, 1',
      '21 min: emergencies 1, 1',
    ]);
    const last = pages.at(-1)?.heldBack;
    expect(last).toMatchObject({ alarms: 9, emergencies: 0, untilMs: NOW_MS + HOUR_MS });
  });

  it('that wait for their page keep the last place of the hour from a storm', () => {
    const pages = pagesOf(
      {
        0: [ask('s0')],
        1: [ask('s1')],
        4: [emergency('a'), emergency('b'), emergency('c'), emergency('d')],
        9: [emergency('e')],
      },
      65,
    );
    expect(timeline(pages)).toEqual([
      '0 min: storm 1, 1',
      '4 min: alone 1, 1',
      '4 min: alone 1, 1',
      '4 min: alone 1, 1',
      '5 min: emergencies 1, 1',
      '15 min: emergencies 2, 2',
      '64 min: storm 2, 2',
    ]);
  });

  it('find the last place of the hour free, whatever repeats and digests came before', () => {
    const again = Object.fromEntries([0, 1, 2, 3].map((minute) => [minute, [emergency('a')]]));
    const digest = ask('r', { priority: 'routine' }, { form: 'digest' });
    const pages = pagesOf({ ...again, 4: [ask('s0')], 5: [digest], 7: [emergency('b')] }, 15);
    expect(timeline(pages)).toEqual([
      ...['0 min: alone 1, 1', '1 min: alone 2, 1', '2 min: alone 3, 1'],
      ...['4 min: emergencies 1, 1', '4 min: storm 1, 1'],
      '14 min: emergencies 2, 2',
    ]);
  });

  it('page again for whoever is asked again, as the same page', () => {
    const pages = pagesOf({ 0: [emergency('a')], 10: [emergency('a')] }, 10);
    expect(timeline(pages)).toEqual(['0 min: alone 1, 1', '10 min: alone 2, 1']);
    expect(pages[0]?.key).toBe(pages[1]?.key);
  });
});

describe('other alarms and digests', () => {
  const phaseLoss = (id: string) => ask(id, { kind: 'phase-loss' });

  it('what a storm does not explain has a page of its own, however many are in the storm', () => {
    const pages = pagesOf({ 0: [ask('a')], 5: [ask('b'), phaseLoss('p')] }, 70);
    expect(timeline(pages)).toEqual([
      '0 min: storm 1, 1',
      '5 min: others 1, 1',
      '60 min: storm 2, 2',
    ]);
    expect(pages[1]?.heldBack).toMatchObject({ alarms: 1, worst: { id: 'b' }, untilMs: null });
  });

  it('a digest waits a minute for the others of its time, and is one page', () => {
    const digest = (id: string) => ask(id, { priority: 'routine' }, { form: 'digest' });
    const { state, pages, dueAtMs } = groupPages(emptyPagingState(), [digest('a')], NOW_MS);
    expect(pages).toEqual([]);
    expect(dueAtMs).toBe(NOW_MS + MINUTE_MS);
    const more = groupPages(state, [digest('b')], NOW_MS + 1000);
    const [page] = groupPages(more.state, [], NOW_MS + MINUTE_MS).pages;
    expect(page).toMatchObject({ kind: 'digest', alarms: 2, newAlarms: 2 });
  });

  it('each person has their own pages, the office too', () => {
    const { pages } = groupPages(
      emptyPagingState(),
      [ask('a', {}, { to: [ANA, BEN, OFFICE] }), ask('b', {}, { to: [BEN] })],
      NOW_MS,
    );
    expect(pages.map(({ to, alarms }) => [to.name, alarms])).toEqual([
      ['Ana Reyes', 1],
      ['Ben Okafor', 2],
      ['Front desk', 1],
    ]);
    expect(new Set(pages.map(({ key }) => key)).size).toBe(3);
  });
});

describe('limits and time', () => {
  it('limits that leave no room are refused with what to change', () => {
    const limits = { ...DEFAULT_PAGING_LIMITS, pagesPerHourMost: 4 };
    expect(() => groupPages(emptyPagingState(), [], NOW_MS, limits)).toThrow('by 2 or more');
    const half = { ...DEFAULT_PAGING_LIMITS, againAfterMs: 0.5 };
    expect(() => groupPages(emptyPagingState(), [], NOW_MS, half)).toThrow('againAfterMs is 0.5');
    expect(() => groupPages(emptyPagingState(), [], Number.NaN)).toThrow('whole ms');
  });

  it('a page holds 5,000 alarms; what comes then begins the next', () => {
    const asks = Array.from({ length: 5001 }, (_, index) => ask(`a${index}`));
    const { pages } = groupPages(emptyPagingState(), asks, NOW_MS);
    expect(pages.map(({ kind, alarms }) => [kind, alarms])).toEqual([
      ['storm', 5000],
      ['storm', 1],
    ]);
  });

  it('a page that nobody answers is forgotten a day after it was told, and leaves nothing', () => {
    const { state } = groupPages(emptyPagingState(), [ask('a')], NOW_MS);
    const day = groupPages(state, [], NOW_MS + 24 * HOUR_MS);
    expect(day.state.people).toHaveLength(1);
    const later = groupPages(day.state, [], NOW_MS + 24 * HOUR_MS + 1);
    expect(later.state).toEqual({ version: 1, pagesSoFar: 1, people: [] });
  });
});
