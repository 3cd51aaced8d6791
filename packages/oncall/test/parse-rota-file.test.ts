import { parseRota, parseRotaFile } from '@lineside/oncall';
import { WrittenFileError } from '@lineside/written-file';
import { describe, expect, it } from 'vitest';
import { HARBOUR, LEAST } from './rota-texts.ts';

function messageOf(text: string): string {
  try {
    parseRotaFile(text, 'rota.yaml');
  } catch (error) {
    if (error instanceof WrittenFileError) return error.message;
    throw error;
  }
  throw new Error('the file was taken');
}

function changed(from: string, to: string): string {
  expect(HARBOUR).toContain(from);
  return HARBOUR.replace(from, to);
}

const COVER = 'id: c1, kind: cover, for: ana, by: ben';
const SWAP = 'id: s1, kind: swap';

function withChange(change: string): string {
  return changed('    changes: []', `    changes: [ { ${change} } ]`);
}

describe('a rota file', () => {
  it('has its defaults filled in', () => {
    const rota = parseRotaFile(LEAST, 'rota.yaml');
    expect(rota.revision).toBe(0);
    expect(rota.office.name).toBe('Office');
    expect(rota.teams[0]).toMatchObject({
      sites: [],
      takesOtherSites: false,
      members: ['ana'],
      second: null,
      holidays: [],
      changes: [],
    });
    expect(rota.teams[0]?.first[0]?.turnWeeks).toBe(1);
    expect(rota.escalation.emergency).toEqual({
      ladder: ['first', 'second', 'team', 'office'],
      acknowledgeWithinMinutes: 5,
      quietHours: null,
    });
    expect(rota.escalation.routine.quietHours?.digestAt).toBe('07:30');
  });

  it('may be JSON, and what it becomes may be read again', () => {
    const rota = parseRotaFile(HARBOUR, 'rota.yaml');
    expect(parseRotaFile(JSON.stringify(rota, null, '\t'), 'rota.json')).toEqual(rota);
  });

  it('takes everybody in the rotations of a team for its members, unless it names them', () => {
    const [north, south] = parseRotaFile(HARBOUR, 'rota.yaml').teams;
    expect(north?.members).toEqual(['ana', 'ben', 'cyd']);
    expect(south?.members).toEqual(['dov', 'cyd']);
  });
});

describe('the message about a rota file', () => {
  it.each([
    [
      'somebody unknown',
      changed('people: [ana, ben, cyd]', 'people: [ana, bea, cyd]').replace(
        'sites: [harbour-mall, pier-nine]',
        'sites: [harbour-mall, pier-nine]\n    members: [ana]',
      ),
      'rota.yaml:22:23: teams[0].first[0].people[1]: expected the id of one of the people, ' +
        'found bea; add them or correct it',
    ],
    [
      'a date that is not the weekday of the hand-over',
      changed('from: 2026-01-05', 'from: 2026-01-06'),
      'rota.yaml:19:15: teams[0].first[0].from: expected a monday, as the hand-over is, such as ' +
        '2026-01-05 or 2026-01-12; found the tuesday 2026-01-06',
    ],
    [
      'a site of two teams',
      changed('takesOtherSites: true', 'sites: [pier-nine]'),
      'rota.yaml:29:13: teams[1].sites[0]: expected a site of one team, found pier-nine, ' +
        'which team north covers',
    ],
    [
      'two teams that take all others',
      changed('second: { offset: 1 }', 'second: { offset: 1 }\n    takesOtherSites: true'),
      'rota.yaml:30:22: teams[1].takesOtherSites: expected one team at most, ' +
        'team north takes the other sites already',
    ],
    [
      'a mistake within the rotations of the second call',
      changed('second: { offset: 1 }', 'second: [ { from: 2026-01-05, handOver: monday } ]'),
      'rota.yaml:22:45: teams[0].second[0].handOver: expected a section with weekday, time, ' +
        'found the text "monday"',
    ],
    [
      'an offset that comes back to the same person',
      changed('{ offset: 1 }', '{ offset: 3 }'),
      'rota.yaml:22:23: teams[0].second.offset: expected an offset to somebody else in ' +
        'ana, ben, cyd; 3 leads from ana to ana',
    ],
    [
      'a number in place of a contact point',
      changed('[ben-phone]', '["+1 555 0100"]'),
      'rota.yaml:4:45: people[1].contacts[0]: expected 1 to 63 of a-z, 0-9 and -, ' +
        'not starting or ending with -, found the text "+1 555 0100"',
    ],
    [
      'an offset for a zone',
      changed('Europe/Berlin', '"+02:00"'),
      'rota.yaml:28:11: teams[1].zone: expected an IANA time zone such as America/Halifax, ' +
        'found the text "+02:00"',
    ],
    [
      'a day that no calendar has',
      changed('2026-07-01', '2026-06-31'),
      'rota.yaml:12:35: holidays[0].days[1].date: expected a date such as 2026-01-05, ' +
        'found the text "2026-06-31"',
    ],
    [
      'holidays that overlap',
      changed('2026-07-01', '2026-04-06'),
      'rota.yaml:12:35: holidays[0].days[1].date: expected a date after 2026-04-06, ' +
        'where the holiday before it ends, found 2026-04-06',
    ],
    [
      'a cover that ends before it begins',
      withChange(`${COVER}, from: 2026-02-02T08:00, to: 2026-02-01T08:00`),
      'rota.yaml:25:86: teams[0].changes[0].to: expected a time after 2026-02-02T08:00 in ' +
        'America/Halifax, found 2026-02-01T08:00',
    ],
    [
      'a cover that a change of clocks leaves nothing of',
      withChange(`${COVER}, from: 2026-03-08T02:15, to: 2026-03-08T03:15`),
      'rota.yaml:25:86: teams[0].changes[0].to: expected a time after 2026-03-08T02:15 in ' +
        'America/Halifax, found 2026-03-08T03:15, since the clocks change: ' +
        'choose times outside the change',
    ],
    [
      'a change of no kind',
      withChange('id: c1, kind: trade'),
      'rota.yaml:25:32: teams[0].changes[0].kind: expected a change of the kind cover or swap, ' +
        'found the text "trade"',
    ],
    [
      'a digest in the quiet hours',
      `${HARBOUR}escalation:\n  routine:\n    quietHours: ` +
        '{ windows: [ { from: "20:00", to: "07:00" } ], digestAt: "06:00" }\n',
      'rota.yaml:38:17: escalation.routine.quietHours: expected a digestAt that lies outside the ' +
        'quiet hours on one day of the week at least, found a section',
    ],
    [
      'a ladder without the office',
      `${HARBOUR}escalation:\n  urgent: { ladder: [first, team] }\n`,
      'rota.yaml:37:21: escalation.urgent.ladder: expected some of first, second, team, office in ' +
        'this order, ending with office, found a list of 2',
    ],
    [
      'quiet hours of an emergency',
      `${HARBOUR}escalation:\n  emergency: { quietHours: { digestAt: "07:30" } }\n`,
      'rota.yaml:37:28: escalation.emergency.quietHours: expected null, since quiet hours are ' +
        'for routine alarms alone, found a section',
    ],
    ['an empty file', '', 'rota.yaml: expected a section with'],
    ['a key given twice', '{"teams": [], "teams": []}', 'rota.yaml:1:15: Map keys must be unique'],
  ])('names the place, what is expected and what is found: %s', (_, text, message) => {
    expect(messageOf(text)).toContain(message);
  });

  it.each([
    ['id: ben,', 'id: ana,', 'people[1].id'],
    ['id: south', 'id: north', 'teams[1].id'],
    ['name: Ana Reyes', 'name: "Ana\\nReyes"', 'people[0].name'],
    ['time: "08:00"', 'time: "24:00"', 'teams[0].first[0].handOver.time'],
    ['weekday: friday', 'weekday: Freitag', 'teams[1].first[0].handOver.weekday'],
    ['turnWeeks: 2', 'turnWeeks: 0', 'teams[1].first[0].turnWeeks'],
    ['lastDate: 2026-04-06', 'lastDate: 2026-04-02', 'holidays[0].days[0].lastDate'],
    ['calendar: public', 'calendar: school', 'teams[0].holidays[0].calendar'],
    ['first: [dov, ana]', 'first: []', 'teams[0].holidays[0].first'],
    ['first: [dov, ana]', 'first: [dov, eve]', 'teams[0].holidays[0].first[1]'],
    ['second: [cyd]', 'second: { offset: 2 }', 'teams[0].holidays[0].second.offset'],
    ['second: { offset: 1 }', 'second: ana', 'teams[0].second'],
    ['members: [dov, cyd]', 'members: [eve]', 'teams[1].members[0]'],
    ['revision: 7', 'revision: -1', 'revision'],
    ['takesOtherSites: true', 'takesOtherSites: 1', 'teams[1].takesOtherSites'],
    ['    changes: []', '    change: []', 'teams[0].change'],
  ])('is given for %s changed to %s', (from, to, place) => {
    expect(messageOf(changed(from, to))).toMatch(
      new RegExp(`: ${place.replaceAll(/[[\].]/g, '\\$&')}: expected .+`),
    );
  });

  it.each([
    [`${COVER.replace('by: ben', 'by: ana')}, from: 2026-02-02T08:00, to: 2026-02-03T08:00`, 'by'],
    [`${COVER.replace('ana', 'eve')}, from: 2026-02-02T08:00, to: 2026-02-03T08:00`, 'for'],
    [`${COVER}, from: 2026-02-30T08:00, to: 2026-03-03T08:00`, 'from'],
    [`${COVER}, from: 2026-02-02, to: 2026-02-03T08:00`, 'from'],
    [
      `${SWAP}, one: { person: ana, shift: 2026-02-16 }, other: { person: ana, shift: 2026-02-23 }`,
      'other.person',
    ],
    [
      `${SWAP}, one: { person: ana, shift: 2026-02-16 }, other: { person: ben, shift: 2026-02-16 }`,
      'other.shift',
    ],
    [
      `${SWAP}, one: { person: eve, shift: 2026-02-16 }, other: { person: ben, shift: 2026-02-23 }`,
      'one.person',
    ],
  ])('is given for a change that cannot be: %s', (change, place) => {
    expect(messageOf(withChange(change))).toContain(`: teams[0].changes[0].${place}: expected `);
  });

  it('is taken again as it was kept, also with a team that nobody is in', () => {
    const rota = parseRotaFile(LEAST.replace('people: [ana]\n', 'people: []\n'), 'rota.yaml');
    expect(rota.teams[0]?.members).toEqual([]);
    expect(parseRota(JSON.parse(JSON.stringify(rota)), 'kept')).toEqual(rota);
  });

  it('counts further mistakes on a second line', () => {
    const text = changed('turnWeeks: 2', 'turnWeeks: 0').replace('revision: 7', 'revision: x');
    expect(messageOf(text).split('\n')[1]).toBe('1 more mistake follows');
  });
});

describe('a hostile rota file', () => {
  it.each(['['.repeat(100_000), '{"a":'.repeat(50_000), 'people: *nobody'])(
    'is refused with its name',
    (text) => {
      expect(messageOf(text)).toMatch(/^rota\.yaml/);
    },
  );

  it('cannot be larger than the limit', () => {
    expect(messageOf(' '.repeat(4_000_001))).toContain('at most 4000000');
  });
});
