import {
  type AskingAlarm,
  type NextSteps,
  nextSteps,
  parseRotaFile,
  type Rota,
} from '@lineside/oncall';
import { describe, expect, it } from 'vitest';
import { at, HARBOUR, harbourWith, LEAST } from './rota-texts.ts';

/** A Tuesday at noon in Halifax; ana has the first call of team north, ben the second. */
const NOON = at('2026-01-06T16:00Z');
const MINUTE = 60_000;

function alarm(more: Partial<AskingAlarm> = {}): AskingAlarm {
  return {
    site: 'harbour-mall',
    priority: 'emergency',
    state: 'unacknowledged',
    askingSinceMs: NOON,
    maintenanceUntilMs: null,
    handedOnAtMs: null,
    paged: [],
    ...more,
  };
}

function steps(rota: Rota, asking: AskingAlarm, nowMs: number): NextSteps {
  return nextSteps(rota.escalation, rota, asking, nowMs);
}

/** `first: ana`, `office: Front desk`. */
function pageWords({ page }: NextSteps): string | null {
  if (page === null) return null;
  return `${page.level}: ${page.to.map(({ person, name }) => person ?? name).join(', ')}`;
}

/** All pages of an alarm that nobody answers, with the minutes since it began to ask. */
function unanswered(rota: Rota, asking: AskingAlarm): string[] {
  const pages: string[] = [];
  let at: number | null = asking.askingSinceMs;
  let now = asking;
  while (at !== null) {
    const due = steps(rota, now, at);
    const words = pageWords(due);
    if (words !== null) pages.push(`${(at - asking.askingSinceMs) / MINUTE} ${words}`);
    if (due.page !== null) now = { ...now, paged: [...now.paged, due.page.record] };
    at = due.dueAtMs;
  }
  return pages;
}

describe('an alarm that nobody acknowledges', () => {
  it.each([
    ['emergency', 5],
    ['urgent', 15],
    ['routine', 120],
  ] as const)('of %s priority asks the next in line every %i minutes', (priority, minutes) => {
    const text = `${HARBOUR}escalation: { routine: { acknowledgeWithinMinutes: 120 } }\n`;
    const rota = parseRotaFile(text, 'rota.yaml');
    expect(unanswered(rota, alarm({ priority }))).toEqual([
      '0 first: ana',
      `${minutes} second: ben`,
      `${2 * minutes} team: ana, ben, cyd`,
      `${3 * minutes} office: Front desk`,
    ]);
  });

  it('climbs the ladder of its policy', () => {
    const policy =
      'escalation: { urgent: { ladder: [second, office], acknowledgeWithinMinutes: 30 } }';
    const rota = parseRotaFile(`${HARBOUR}${policy}\n`, 'rota.yaml');
    expect(unanswered(rota, alarm({ priority: 'urgent' }))).toEqual([
      '0 second: ben',
      '30 office: Front desk',
    ]);
  });

  it('names the contact points of whom it asks', () => {
    expect(steps(harbourWith(), alarm(), NOON).page?.to).toEqual([
      { person: 'ana', name: 'Ana Reyes', contacts: ['ana-phone', 'ana-mail'] },
    ]);
  });

  it('waits between two levels, and says for what', () => {
    const paged = [{ atMs: NOON, level: 'first', priority: 'emergency', people: ['ana'] }] as const;
    expect(steps(harbourWith(), alarm({ paged }), NOON + 4 * MINUTE)).toEqual({
      page: null,
      dueAtMs: NOON + 5 * MINUTE,
      words: 'the first level has time to answer',
    });
  });

  it('asks who is on call by then, cover included', () => {
    const cover =
      'id: c1, kind: cover, for: ben, by: dov, from: 2026-01-06T12:00, to: 2026-01-06T13:00';
    expect(unanswered(harbourWith(cover), alarm()).slice(0, 2)).toEqual([
      '0 first: ana',
      '5 second: dov',
    ]);
  });

  it('asks one level after a pause, not all that were missed, and gives it its full time', () => {
    const paged = [{ atMs: NOON, level: 'first', priority: 'emergency', people: ['ana'] }] as const;
    const late = NOON + 60 * MINUTE;
    const due = steps(harbourWith(), alarm({ paged }), late);
    expect([pageWords(due), due.dueAtMs]).toEqual(['second: ben', late + 5 * MINUTE]);
  });
});

describe('an alarm that is handed on', () => {
  const paged = [{ atMs: NOON, level: 'first', priority: 'emergency', people: ['ana'] }] as const;
  const handedOn = NOON + MINUTE;

  it('asks the next in line at once, who then has the full time', () => {
    const due = steps(harbourWith(), alarm({ paged, handedOnAtMs: handedOn }), handedOn);
    expect([pageWords(due), due.dueAtMs]).toEqual(['second: ben', handedOn + 5 * MINUTE]);
  });

  it('is so once, not for those asked later', () => {
    const later = [
      ...paged,
      { atMs: handedOn + 1, level: 'second', priority: 'emergency', people: ['ben'] },
    ] as const;
    const due = steps(harbourWith(), alarm({ paged: later, handedOnAtMs: handedOn }), handedOn + 2);
    expect([due.page, due.dueAtMs]).toEqual([null, handedOn + 1 + 5 * MINUTE]);
  });
});

describe('a level that has nobody to ask', () => {
  it('is left out at once when one person has both calls', () => {
    const cover =
      'id: c1, kind: cover, for: ana, by: ben, from: 2026-01-05T08:00, to: 2026-01-12T08:00';
    const rota = harbourWith(cover);
    expect(unanswered(rota, alarm())).toEqual([
      '0 first: ben',
      '5 team: ana, ben, cyd',
      '10 office: Front desk',
    ]);
    const paged = [{ atMs: NOON, level: 'first', priority: 'emergency', people: ['ben'] }] as const;
    expect(steps(rota, alarm({ paged }), NOON + 5 * MINUTE).page?.skipped).toEqual([
      { level: 'second', words: 'ben, who has the second call, was asked already' },
    ]);
  });

  it('is left out at once when nobody is on call, and the page says so', () => {
    const before = at('2025-12-30T16:00Z');
    const due = steps(harbourWith(), alarm({ askingSinceMs: before }), before);
    expect(pageWords(due)).toBe('team: ana, ben, cyd');
    expect(due.words).toBe(
      'nobody has the first call: the rotation of the first call begins on 2026-01-05; ' +
        'nobody has the second call: the rotation of the second call begins on 2026-01-05; ' +
        'so team is asked',
    );
  });

  it('leads to the office for a site that no team covers', () => {
    const rota = parseRotaFile(LEAST, 'rota.yaml');
    const due = steps(rota, alarm(), NOON);
    expect(pageWords(due)).toBe('office: Office');
    expect(due.page?.skipped.map(({ level }) => level)).toEqual(['first', 'second', 'team']);
    expect(due.words).toBe('no team covers site harbour-mall; so office is asked');
    expect(due.dueAtMs).toBeNull();
  });

  it('leads to the team that takes other sites', () => {
    expect(pageWords(steps(harbourWith(), alarm({ site: 'far-away' }), NOON))).toBe('first: dov');
  });
});

describe('an alarm asks for nobody', () => {
  it.each([
    ['acknowledged', 'it is acknowledged'],
    ['normal', 'it is over'],
    ['returned-unacknowledged', 'its condition has cleared'],
    ['shelved', 'it is shelved'],
    ['suppressed', 'it is suppressed by design'],
    ['out-of-service', 'its unit is out of service'],
  ] as const)('when it is %s', (state, words) => {
    const answer = { page: null, dueAtMs: null, words };
    expect(steps(harbourWith(), alarm({ state }), NOON)).toEqual(answer);
  });

  it('during maintenance, and asks from its end on', () => {
    const end = NOON + 90 * MINUTE;
    const asking = alarm({ maintenanceUntilMs: end });
    expect(steps(harbourWith(), asking, NOON)).toEqual({
      page: null,
      dueAtMs: end,
      words: 'its unit is under maintenance',
    });
    expect(pageWords(steps(harbourWith(), asking, end))).toBe('first: ana');
  });

  it('before it begins to ask', () => {
    const due = steps(harbourWith(), alarm(), NOON - MINUTE);
    expect([due.page, due.dueAtMs]).toEqual([null, NOON]);
  });

  it('once everybody on the ladder was asked', () => {
    const paged = [{ atMs: NOON, level: 'office', priority: 'emergency', people: [] }] as const;
    expect(steps(harbourWith(), alarm({ paged }), NOON + 999 * MINUTE)).toEqual({
      page: null,
      dueAtMs: null,
      words: 'everybody on the ladder was asked',
    });
  });

  it('and a time that is none is refused', () => {
    for (const nowMs of [Number.NaN, NOON + 0.5]) {
      expect(() => steps(harbourWith(), alarm(), nowMs)).toThrow('expected the time in whole ms');
    }
  });
});

describe('an alarm that asks anew', () => {
  const page = (level: 'first' | 'second', priority: AskingAlarm['priority'], atMs: number) => ({
    atMs,
    level,
    priority,
    people: [level === 'first' ? 'ana' : 'ben'],
  });

  it('begins at the first level of the higher priority when it rises', () => {
    const paged = [page('first', 'urgent', NOON), page('second', 'urgent', NOON + 15 * MINUTE)];
    const rise = NOON + 20 * MINUTE;
    const due = steps(harbourWith(), alarm({ paged, askingSinceMs: rise }), rise);
    expect([pageWords(due), due.dueAtMs]).toEqual(['first: ana', rise + 5 * MINUTE]);
  });

  it('does so even when it rises in the moment of a page', () => {
    const paged = [page('first', 'urgent', NOON)];
    expect(pageWords(steps(harbourWith(), alarm({ paged }), NOON))).toBe('first: ana');
  });

  it('goes on where it is when its priority falls', () => {
    const paged = [page('first', 'emergency', NOON)];
    const due = steps(harbourWith(), alarm({ paged, priority: 'urgent' }), NOON + 15 * MINUTE);
    expect(pageWords(due)).toBe('second: ben');
  });

  it('begins at the first level when it reopens', () => {
    const paged = [
      page('first', 'emergency', NOON),
      page('second', 'emergency', NOON + 5 * MINUTE),
    ];
    const again = NOON + 30 * MINUTE;
    expect(pageWords(steps(harbourWith(), alarm({ paged, askingSinceMs: again }), again))).toBe(
      'first: ana',
    );
  });
});

describe('a routine alarm in quiet hours', () => {
  /** 19:00 and 22:00 in Halifax on Tuesday, and 07:30 on Wednesday. */
  const EVENING = at('2026-01-06T23:00Z');
  const NIGHT = at('2026-01-07T02:00Z');
  const MORNING = at('2026-01-07T11:30Z');

  it('waits for the digest of the morning', () => {
    const asking = alarm({ priority: 'routine', askingSinceMs: NIGHT });
    expect(steps(harbourWith(), asking, NIGHT)).toEqual({
      page: null,
      dueAtMs: MORNING,
      words: 'it waits for the digest after the quiet hours',
    });
    const due = steps(harbourWith(), asking, MORNING);
    expect([pageWords(due), due.page?.form]).toEqual(['first: ana', 'digest']);
    expect(due.dueAtMs).toBe(MORNING + 240 * MINUTE);
  });

  it('asks its next level by the digest when that falls into them', () => {
    const asking = alarm({ priority: 'routine', askingSinceMs: EVENING });
    const due = steps(harbourWith(), asking, EVENING);
    expect([pageWords(due), due.page?.form, due.dueAtMs]).toEqual(['first: ana', 'page', MORNING]);
  });

  it('whose maintenance ends in them waits likewise', () => {
    const asking = alarm({ priority: 'routine', maintenanceUntilMs: NIGHT });
    expect(steps(harbourWith(), asking, NIGHT).dueAtMs).toBe(MORNING);
    expect(steps(harbourWith(), asking, MORNING).page?.form).toBe('digest');
  });

  it('is not asked late in them, after a pause', () => {
    const asking = alarm({ priority: 'routine', askingSinceMs: EVENING });
    expect(steps(harbourWith(), asking, NIGHT)).toMatchObject({ page: null, dueAtMs: MORNING });
  });

  it('asks at once when it rises to urgent', () => {
    const asking = alarm({ priority: 'urgent', askingSinceMs: NIGHT });
    expect(steps(harbourWith(), asking, NIGHT).page?.form).toBe('page');
  });
});
