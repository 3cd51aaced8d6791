import { CAUSES, FINDING_KINDS, PRIORITIES } from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type AlarmFacts,
  BODY_MOST_CHARACTERS,
  DEFAULT_PAGING_LIMITS,
  emptyPagingState,
  groupPages,
  LINES_MOST,
  type PageAsk,
  type PagedAlarm,
  type PageToHandOver,
  pageWords,
  TITLE_MOST_CHARACTERS,
} from '../src/index.ts';
import { ask, emergency, HOUR_MS, NOW_MS } from './sample-asks.ts';

const FACTS: AlarmFacts = {
  unitName: 'RTU-4',
  siteName: 'Pier Nine',
  zone: 'America/Halifax',
  cause: { cause: 'line-side-track-to-ground', probability: 0.86, because: [] },
  roofDanger: null,
};
const SITES: Readonly<Record<string, string>> = {
  'pier-nine': 'Pier Nine',
  'old-mill': 'Old Mill',
  'quiet-row': 'Quiet Row',
};

function factsOf(alarm: PagedAlarm): AlarmFacts {
  const siteName = SITES[alarm.site] ?? alarm.site;
  return { ...FACTS, unitName: alarm.unit.toUpperCase(), siteName };
}

/** The page that these make; the one that they share where emergencies make several. */
function pageOf(asks: readonly PageAsk[]): PageToHandOver {
  const limits = { ...DEFAULT_PAGING_LIMITS, emergenciesGatherForMs: 0 };
  const page = groupPages(emptyPagingState(), asks, NOW_MS, limits).pages.at(-1);
  if (page === undefined) throw new Error('nothing was handed over');
  return page;
}

describe('the page of one alarm', () => {
  it('says unit and site, what and how urgent, since when there, and why', () => {
    expect(pageWords(pageOf([emergency('4')]), () => FACTS)).toEqual({
      title: 'EMERGENCY leakage: RTU-4, Pier Nine',
      body: 'Since 00:12 AST. Probably track to ground, line side (86 %).',
      lines: ['EMERGENCY leakage: RTU-4, Pier Nine, since 00:12 AST'],
    });
  });

  it.each([
    [2, 'Since Fri, Jan 9, 22:12 AST. Cause unknown.'],
    [24 * 30, 'Since Dec 11, 2025, 00:12 AST. Cause unknown.'],
  ])('names the day of what began %i hours ago', (hours, body) => {
    const page = pageOf([ask('4', { sinceMs: NOW_MS - hours * HOUR_MS })]);
    expect(pageWords(page, () => ({ ...FACTS, cause: null })).body).toBe(body);
  });

  it.each([
    ['lightning', 'Lightning'],
    ['wind', 'High wind'],
    ['ice', 'Ice'],
  ] as const)('keeps people off the roof in %s', (roofDanger, word) => {
    const { body } = pageWords(pageOf([emergency('4')]), () => ({ ...FACTS, roofDanger }));
    expect(body).toContain(`${word}: stay off the roof, make safe upstream.`);
  });
});

describe('a digest of what is over', () => {
  const over = (id: string, fields: Partial<PagedAlarm> = {}): PageAsk =>
    ask(id, { sinceMs: NOW_MS - 2 * HOUR_MS, overAtMs: NOW_MS - HOUR_MS, ...fields });
  const digestOf = (asks: readonly PageAsk[]): PageToHandOver => {
    const limits = { ...DEFAULT_PAGING_LIMITS, digestGathersForMs: 0 };
    const page = groupPages(emptyPagingState(), asks, NOW_MS, limits).pages.at(-1);
    if (page === undefined) throw new Error('nothing was handed over');
    return page;
  };

  it('says from when to when, and wakes nobody with what was an emergency', () => {
    const page = digestOf([over('4', { priority: 'emergency' })]);
    expect(page.kind).toBe('digest');
    const { title, body } = pageWords(page, () => FACTS);
    expect(title).toBe('Over: EMERGENCY leakage: RTU-4, Pier Nine');
    expect(body).toMatch(/^Since Fri, Jan 9, 22:12 AST until Fri, Jan 9, 23:12 AST\. Probably/);
  });

  it('says that all of many are over', () => {
    const page = digestOf([over('1'), over('2', { site: 'old-mill' })]);
    expect(pageWords(page, factsOf).title).toBe('Digest: 2 alarms at 2 sites, all over');
  });
});

describe('the page of many', () => {
  const storm = [
    ask('4', { severity: 9 }),
    ask('7', { site: 'old-mill', severity: 8 }),
    ask('1', { site: 'quiet-row', kind: 'moisture', priority: 'routine' }),
    ask('8'),
  ];

  it('says how many, the worst three and the order to visit', () => {
    expect(pageWords(pageOf(storm), factsOf)).toMatchObject({
      title: 'Storm: 4 alarms at 3 sites, urgent',
      body:
        'Worst: RTU-4 leakage, RTU-7 leakage, RTU-8 leakage. ' +
        'Visit: Pier Nine, Old Mill, Quiet Row.',
    });
  });

  it('sends nobody out while a roof is dangerous', () => {
    const { body } = pageWords(pageOf(storm), (alarm) => ({
      ...factsOf(alarm),
      roofDanger: alarm.site === 'old-mill' ? 'ice' : null,
    }));
    expect(body).toContain('Once safe: Pier Nine');
    expect(body).toContain('Ice at 1 of 3 sites: stay off the roofs.');
    expect(body).not.toContain('Visit');
  });

  it('names all emergencies, those with a page of their own too', () => {
    const page = pageOf(['1', '2', '3', '4', '5'].map(emergency));
    expect(pageWords(page, factsOf)).toMatchObject({
      title: '5 EMERGENCIES at 1 site',
      body: 'RTU-4, RTU-5, RTU-1, RTU-2, RTU-3.',
    });
  });

  it('says what it held back and when the next page can come', () => {
    const heldBack = { alarms: 12, emergencies: 2, worst: null, untilMs: NOW_MS + HOUR_MS };
    const { body } = pageWords({ ...pageOf(storm), heldBack }, factsOf);
    expect(body).toContain('Held back: 12, 2 EMERGENCY; next page 01:12.');
    const grave = { ...heldBack, emergencies: 12 };
    expect(pageWords({ ...pageOf(storm), heldBack: grave }, factsOf).body).toContain(
      'Held back: 12, all EMERGENCY; next page 01:12.',
    );
    const spent = { ...heldBack, alarms: 0, emergencies: 0 };
    expect(pageWords({ ...pageOf(storm), heldBack: spent }, factsOf).body).toContain(
      'No more pages before 01:12.',
    );
  });

  it('lists every emergency and a hundred others', () => {
    const others = Array.from({ length: 300 }, (_, index) => ask(`${index}`));
    const { lines } = pageWords(pageOf(others), factsOf);
    expect(lines).toHaveLength(LINES_MOST + 1);
    expect(lines.at(-1)).toBe('and 200 more');
    const emergencies = Array.from({ length: 300 }, (_, index) => emergency(`${index}`));
    expect(pageWords(pageOf(emergencies), factsOf).lines).toHaveLength(300);
  });
});

describe('whatever the names', () => {
  const unit = fc.constantFrom('a', 'Z', ' ', '\n', '\u202E', 'é', '👩‍🔧', 'e\u0301', '屋', '4');
  const name = fc.string({ unit, minLength: 1, maxLength: 120 });
  const facts: fc.Arbitrary<AlarmFacts> = fc.record({
    unitName: name,
    siteName: name,
    zone: fc.constantFrom('America/Halifax', 'Pacific/Chatham', 'Asia/Kathmandu', 'UTC'),
    cause: fc.option(
      fc.record({
        cause: fc.constantFrom(...CAUSES),
        probability: fc.double({ min: 0, max: 1, noNaN: true }),
        because: fc.constant([]),
      }),
    ),
    roofDanger: fc.option(fc.constantFrom('lightning' as const, 'wind' as const, 'ice' as const)),
  });
  const asks = fc.array(
    fc.record({
      kind: fc.constantFrom(...FINDING_KINDS),
      priority: fc.constantFrom(...PRIORITIES),
      site: fc.constantFrom('pier-nine', 'old-mill', 'quiet-row'),
      sinceMs: fc.integer({ min: 0, max: NOW_MS }),
    }),
    { minLength: 1, maxLength: 12 },
  );
  const heldBack = fc.record({
    alarms: fc.integer({ min: 0, max: 5000 }),
    emergencies: fc.integer({ min: 0, max: 2000 }),
    worst: fc.constant(null),
    untilMs: fc.option(fc.integer({ min: NOW_MS, max: NOW_MS + HOUR_MS })),
  });
  const cases = fc.record({
    asks,
    heldBack,
    facts: fc.array(facts, { minLength: 4, maxLength: 4 }),
  });

  function always(
    law: (page: PageToHandOver, of: (alarm: PagedAlarm) => AlarmFacts) => void,
  ): void {
    fc.assert(
      fc.property(cases, ({ asks: fields, heldBack: held, facts: all }) => {
        const asked = fields.map((one, index) => ask(`${index}`, one));
        const of = ({ id }: PagedAlarm): AlarmFacts => all[Number(id) % all.length] ?? FACTS;
        for (const page of groupPages(emptyPagingState(), asked, NOW_MS).pages) {
          law({ ...page, heldBack: held }, of);
        }
      }),
      { numRuns: 300 },
    );
  }

  it('title and body fit a lock screen, on one line each, and are not empty', () => {
    always((page, of) => {
      const { title, body } = pageWords(page, of);
      expect(title.length).toBeLessThanOrEqual(TITLE_MOST_CHARACTERS);
      expect(body.length).toBeLessThanOrEqual(BODY_MOST_CHARACTERS);
      expect(Math.min(title.length, body.length)).toBeGreaterThan(0);
      expect(`${title}${body}`).not.toMatch(/[\n\u202E]|\p{Surrogate}/u);
    });
  });

  it('a dangerous roof is always said, and then nobody is asked to visit', () => {
    always((page, of) => {
      const alarms = [...page.stops.flatMap((stop) => stop.alarms), ...page.alsoOpen];
      const { body } = pageWords(page, of);
      if (alarms.some((alarm) => of(alarm).roofDanger !== null)) {
        expect(body).toContain('stay off the roof');
        expect(body).not.toContain('Visit');
      } else {
        expect(body).not.toContain('roof');
      }
    });
  });

  it('no page asks to open, enter or touch anything', () => {
    always((page, of) => {
      const { title, body } = pageWords(page, () => ({ ...of(alarmOf(page)), ...NAMES }));
      expect(`${title} ${body}`).not.toMatch(/\b(open (the|a|it)|enter|touch|climb|go up)\b/i);
    });
  });

  const NAMES = { unitName: 'RTU-4', siteName: 'Pier Nine' };

  function alarmOf({ stops }: PageToHandOver): PagedAlarm {
    const alarm = stops[0]?.alarms[0];
    if (alarm === undefined) throw new Error('a page without an alarm');
    return alarm;
  }

  it('what is held back is always said', () => {
    always((page, of) => {
      const { body } = pageWords(page, of);
      expect(body.includes(`Held back: ${page.heldBack.alarms}`)).toBe(page.heldBack.alarms > 0);
    });
  });
});
