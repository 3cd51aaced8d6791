/** The calendar, read back by a parser that is none of the generator's: ical.js. */
import { CALLS, calendarFeed, type Rota, shiftsBetween } from '@lineside/oncall';
import fc from 'fast-check';
import ICAL from 'ical.js';
import { describe, expect, it } from 'vitest';
import { rotaFrom, statedRota, YEAR_FROM_MS, YEAR_TO_MS } from './random-rota.ts';
import { at, harbourWith, rotaOf } from './rota-texts.ts';

const OPTIONS = {
  fromMs: at('2026-02-01T00:00Z'),
  toMs: at('2026-03-01T00:00Z'),
  changedAtMs: at('2026-01-20T10:15:00Z'),
  domain: 'oncall.example.org',
};

function events(text: string): ICAL.Event[] {
  const calendar = new ICAL.Component(ICAL.parse(text));
  return calendar.getAllSubcomponents('vevent').map((event) => new ICAL.Event(event));
}

function fields(event: ICAL.Event) {
  return {
    uid: event.uid,
    sequence: event.sequence,
    start: event.startDate.toString(),
    end: event.endDate.toString(),
    summary: event.summary,
    description: event.description,
  };
}

function named(name: string): Rota {
  const rota = rotaOf('Europe/Berlin', '2026-01-05', 'weekday: monday, time: "08:00"');
  return { ...rota, people: rota.people.map((person) => ({ ...person, name })) };
}

describe('the calendar of a team', () => {
  it('has an event for each shift, in UTC', () => {
    const text = calendarFeed(harbourWith(), 'north', OPTIONS);
    const all = events(text).map(fields);
    expect(all).toHaveLength(10);
    expect(all[1]).toEqual({
      uid: 'north-first-20260202T120000Z@oncall.example.org',
      sequence: 7,
      start: '2026-02-02T12:00:00Z',
      end: '2026-02-09T12:00:00Z',
      summary: 'First call: Ben Okafor (North crew)',
      description: null,
    });
  });

  it('has what RFC 5545 asks of a calendar (3.6) and of an event (3.6.1)', () => {
    const calendar = new ICAL.Component(ICAL.parse(calendarFeed(harbourWith(), 'north', OPTIONS)));
    expect(calendar.getFirstPropertyValue('version')).toBe('2.0');
    expect(calendar.getFirstPropertyValue('prodid')).toBe('-//Lineside//On call//EN');
    for (const event of calendar.getAllSubcomponents('vevent')) {
      expect(String(event.getFirstPropertyValue('dtstamp'))).toBe('2026-01-20T10:15:00Z');
    }
    const uids = events(calendar.toString()).map(({ uid }) => uid);
    expect(new Set(uids).size).toBe(uids.length);
  });

  it('shows a cover of a whole shift as the same event with a higher sequence', () => {
    const cover =
      'id: c1, kind: cover, for: ben, by: dov, from: 2026-02-02T08:00, to: 2026-02-09T08:00';
    const [, before] = events(calendarFeed(harbourWith(), 'north', OPTIONS)).map(fields);
    const [, after] = events(calendarFeed(harbourWith(cover), 'north', OPTIONS)).map(fields);
    expect(after).toEqual({
      ...before,
      sequence: 8,
      summary: 'First call: Dov Peretz (North crew)',
      description: 'Instead of Ben Okafor',
    });
  });

  it('shows a cover of a part as the shortened event and two more', () => {
    const cover =
      'id: c1, kind: cover, for: ben, by: dov, from: 2026-02-04T08:00, to: 2026-02-05T08:00';
    const text = calendarFeed(harbourWith(cover), 'north', OPTIONS);
    const parts = events(text)
      .map(fields)
      .filter(({ uid }) => uid.includes('first-20260202T12'));
    expect(
      parts.map(({ uid, sequence, start, end }) => [uid.split('@')[0], sequence, start, end]),
    ).toEqual([
      ['north-first-20260202T120000Z', 8, '2026-02-02T12:00:00Z', '2026-02-04T12:00:00Z'],
      [
        'north-first-20260202T120000Z-20260204T120000Z',
        8,
        '2026-02-04T12:00:00Z',
        '2026-02-05T12:00:00Z',
      ],
      [
        'north-first-20260202T120000Z-20260205T120000Z',
        8,
        '2026-02-05T12:00:00Z',
        '2026-02-09T12:00:00Z',
      ],
    ]);
  });

  it('shows a swap as two events that exchange their people', () => {
    const swap =
      'id: s1, kind: swap, one: { person: ben, shift: 2026-02-02 }, ' +
      'other: { person: ana, shift: 2026-02-16 }';
    const text = calendarFeed(harbourWith(swap), 'north', OPTIONS);
    const firsts = events(text)
      .map(fields)
      .filter(({ uid }) => uid.includes('first'));
    expect(firsts.map(({ summary, sequence }) => [summary.slice(12, 15), sequence])).toEqual([
      ['Ana', 7],
      ['Ana', 8],
      ['Cyd', 7],
      ['Ben', 8],
      ['Ben', 7],
    ]);
  });

  it('marks holidays', () => {
    const window = { fromMs: at('2026-07-01T12:00Z'), toMs: at('2026-07-01T13:00Z') };
    const text = calendarFeed(harbourWith(), 'north', { ...OPTIONS, ...window });
    expect(events(text).map(({ summary, description }) => [summary, description])).toEqual([
      ['First call: Ana Reyes (North crew)', 'Holiday'],
      ['Second call: Cyd Larsen (North crew)', 'Holiday'],
    ]);
  });

  it('may be of one person alone, covers included', () => {
    const cover =
      'id: c1, kind: cover, for: ben, by: dov, from: 2026-02-04T08:00, to: 2026-02-05T08:00';
    const text = calendarFeed(harbourWith(cover), 'north', { ...OPTIONS, person: 'dov' });
    expect(events(text).map(({ summary }) => summary)).toEqual([
      'First call: Dov Peretz (North crew)',
    ]);
  });

  it('has the shifts of any rota to the second, each once, whatever was arranged', () => {
    const year = [YEAR_FROM_MS, YEAR_TO_MS] as const;
    fc.assert(
      fc.property(statedRota, (stated) => {
        const rota = rotaFrom(stated);
        const [fromMs, toMs] = year;
        const text = calendarFeed(rota, 'crew', { ...OPTIONS, fromMs, toMs });
        const shown = events(text).map(({ uid, sequence, startDate, endDate, summary }) => ({
          id: uid.split('@')[0],
          sequence,
          fromMs: startDate.toUnixTime() * 1000,
          toMs: endDate.toUnixTime() * 1000,
          person: summary.split(' ')[2],
        }));
        const held = CALLS.flatMap((call) => shiftsBetween(rota, 'crew', call, ...year))
          .filter(({ person }) => person !== null)
          .map(({ id, revision, fromMs, toMs, person }) => ({
            id: `crew-${id}`,
            sequence: revision,
            fromMs,
            toMs,
            person,
          }));
        expect(shown).toEqual(held);
      }),
      { numRuns: 30 },
    );
  });

  it('leaves out the time that nobody has, and the contact points', () => {
    const text = calendarFeed(harbourWith(), 'north', {
      ...OPTIONS,
      fromMs: at('2025-12-01T00:00Z'),
    });
    expect(events(text)[0]?.startDate.toString()).toBe('2026-01-05T12:00:00Z');
    expect(text).not.toContain('ana-phone');
  });

  it('is refused for a team or person that there is none of', () => {
    expect(() => calendarFeed(harbourWith(), 'west', OPTIONS)).toThrow('found west');
    expect(() => calendarFeed(harbourWith(), 'north', { ...OPTIONS, person: 'eve' })).toThrow(
      'expected the id of one of the people, found eve',
    );
  });
});

describe('the text of a calendar', () => {
  it('is folded at 75 octets and ends each line in CRLF (RFC 5545, 3.1)', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', minLength: 1, maxLength: 100 }), (name) => {
        const text = calendarFeed(named(name), 'crew', OPTIONS);
        const lines = text.split('\r\n');
        expect(lines.pop()).toBe('');
        for (const line of lines) {
          expect(new TextEncoder().encode(line).length).toBeLessThanOrEqual(75);
          expect(line).not.toMatch(/[\r\n]/);
        }
      }),
    );
  });

  it('gives back every name that a rota may have (RFC 5545, 3.3.11)', () => {
    const name = fc.oneof(
      fc.string({ unit: 'grapheme', minLength: 1, maxLength: 100 }),
      fc.string({ unit: fc.constantFrom(',', ';', '\\', '"', ':', 'n', 'N', ' ', 'é', '👩‍🔧') }),
    );
    fc.assert(
      fc.property(
        name.filter((text) => !/\p{Cc}/u.test(text)),
        (text) => {
          const [event] = events(calendarFeed(named(text), 'crew', OPTIONS));
          expect(event?.summary).toBe(`First call: ${text} (Crew)`);
        },
      ),
    );
  });

  it('unfolds the long line of RFC 5545, 3.1, into the same words', () => {
    const name = 'This is a long description that exists on a long line.';
    const text = calendarFeed(named(name), 'crew', OPTIONS);
    expect(text).toMatch(/SUMMARY:First call: This is a long[^\r\n]*\r\n [^\r\n]*\(Crew\)\r\n/);
    expect(text.replaceAll('\r\n ', '')).toContain(`SUMMARY:First call: ${name} (Crew)\r\n`);
  });

  it('escapes as the example of RFC 5545, 3.3.11', () => {
    // "Project XYZ Final Review\nConference Room - 3B\nCome Prepared." stands for three lines; a
    // description of two lines is written likewise.
    const rota = harbourWith(
      'id: c1, kind: cover, for: ana, by: ben, from: 2026-07-01T08:00, to: 2026-07-02T08:00',
    );
    const window = { fromMs: at('2026-07-01T12:00Z'), toMs: at('2026-07-01T13:00Z') };
    const text = calendarFeed(rota, 'north', { ...OPTIONS, ...window });
    expect(text).toContain('DESCRIPTION:Holiday\\nInstead of Ana Reyes\r\n');
    expect(events(text)[0]?.description).toBe('Holiday\nInstead of Ana Reyes');
  });

  it('is the same for the same rota', () => {
    expect(calendarFeed(harbourWith(), 'north', OPTIONS)).toBe(
      calendarFeed(harbourWith(), 'north', OPTIONS),
    );
  });
});
