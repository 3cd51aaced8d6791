import { parseFleetFile } from '@lineside/fleet';
import { WrittenFileError } from '@lineside/written-file';
import { describe, expect, it } from 'vitest';
import { HARBOUR_MALL, LEAST } from './fleet-texts.ts';

function messageOf(text: string): string {
  try {
    parseFleetFile(text, 'fleet.yaml');
  } catch (error) {
    if (error instanceof WrittenFileError) return error.message;
    throw error;
  }
  throw new Error('the file was taken');
}

describe('a fleet file', () => {
  it('is read as it is stated, without defaults', () => {
    const { sites } = parseFleetFile(LEAST, 'fleet.yaml');
    expect(sites).toEqual([
      { id: 'harbour-mall', units: [{ id: 'rtu-01', supply: { volts: 600 } }] },
    ]);
  });

  it('may be JSON, tabs included', () => {
    const { sites } = parseFleetFile(HARBOUR_MALL, 'fleet.yaml');
    const json = JSON.stringify({ sites }, null, '\t');
    expect(parseFleetFile(json, 'fleet.json').sites).toEqual(sites);
  });

  it('may share sections by alias', () => {
    const first = LEAST.replace('{ volts', '&usual { volts');
    const text = `${first}      - id: rtu-02\n        supply: *usual\n`;
    expect(parseFleetFile(text, 'fleet.yaml').sites[0]?.units[1]?.supply).toEqual({ volts: 600 });
  });

  it('may name a site without units', () => {
    expect(parseFleetFile('sites: [ { id: a } ]', 'f').sites).toEqual([{ id: 'a', units: [] }]);
  });
});

describe('the message about a fleet file', () => {
  it.each([
    [
      'text for a number',
      HARBOUR_MALL.replace('volts: 600', 'volts: six hundred'),
      'fleet.yaml:10:26: sites[0].units[0].supply.volts: expected a number from 100 to 1000 ' +
        '(V, line to line), found the text "six hundred"',
    ],
    [
      'a missing voltage, at the section that lacks it',
      HARBOUR_MALL.replace('volts: 600, ', ''),
      'fleet.yaml:10:17: sites[0].units[0].supply.volts: expected a number from 100 to 1000 ' +
        '(V, line to line), found nothing',
    ],
    [
      'an unknown zone',
      HARBOUR_MALL.replace('America/Halifax', 'Mars/Olympus'),
      'fleet.yaml:4:15: sites[0].timezone: expected an IANA time zone such as America/Halifax, ' +
        'found the text "Mars/Olympus"',
    ],
    [
      'an id that is none',
      LEAST.replace('rtu-01', 'RTU_01'),
      'fleet.yaml:4:13: sites[0].units[0].id: expected 1 to 63 of a-z, 0-9 and -, ' +
        'not starting or ending with -, found the text "RTU_01"',
    ],
    [
      'the reserved unit',
      LEAST.replace('rtu-01', 'weather'),
      'fleet.yaml:4:13: sites[0].units[0].id: expected another id, ' +
        'weather stands for the outdoor station',
    ],
    [
      'a unit named twice',
      `${LEAST}      - id: rtu-01\n        supply: { volts: 480 }\n`,
      'fleet.yaml:6:13: sites[0].units[1].id: expected an id that is used once in site ' +
        'harbour-mall, found rtu-01 again',
    ],
    [
      'a site named twice',
      `${LEAST}  - id: harbour-mall\n`,
      'fleet.yaml:6:9: sites[1].id: expected an id that is used once, found harbour-mall again',
    ],
    ['an empty file', '', 'fleet.yaml: expected a section with sites, found nothing'],
    [
      'a second document',
      'sites: []\n---\nsites: []\n',
      'fleet.yaml:2:1: expected one document, a second one begins here',
    ],
    ['a key given twice', '{"sites": [], "sites": []}', 'fleet.yaml:1:15: Map keys must be unique'],
    ['tabs', '\tsites: []', 'fleet.yaml:1:1: Tabs are not allowed as indentation'],
  ])('names the place, what is expected and what is found: %s', (_, text, message) => {
    expect(messageOf(text)).toBe(message);
  });

  it('names a misspelt limit and the limits that there are', () => {
    const message = messageOf(HARBOUR_MALL.replace('leakageUrgent', 'leakageUrgnt'));
    expect(message).toContain('fleet.yaml:19:');
    expect(message).toContain('sites[0].units[0].limits.leakageUrgnt: expected only the keys');
    expect(message).toContain('leakageUrgent,');
  });

  it('counts further mistakes on a second line', () => {
    const text = HARBOUR_MALL.replace('volts: 600', 'volts: 6').replace('poles: 3', 'poles: 9');
    const lines = messageOf(text).split('\n');
    expect(lines).toHaveLength(2);
    expect(lines[1]).toBe('1 more mistake follows');
  });

  it.each([
    ['hertz: 60', 'hertz: 400'],
    ['grounding: solid-wye', 'grounding: wye'],
    ['mca: 38', 'mca: -1'],
    ['mop: 50', 'mop: "50"'],
    ['class: RK5', 'class: 5'],
    ['amps: 50 }', 'amps: 0 }'],
    ['poles: 3', 'poles: 2.5'],
    ['fla: 18', 'fla: lots'],
    ['name: C1, ', ''],
    ['drive: false', 'drive: no'],
    ['roof: { x: 12, y: 5 }', 'roof: { x: 12 }'],
    ['supply: battery', 'supply: mains'],
    ['leakageUrgent: 10', 'leakageUrgent: -3'],
    ['latitude: 44.65', 'latitude: 91'],
    ['longitude: -63.57', 'longitude: 200'],
    ['name: Harbour Mall', 'name: ""'],
    ['fuses:', 'fuse:'],
    ['    units:', '    unit:'],
    ['sites:', 'places:'],
  ])('is given for %s changed to %s', (from, to) => {
    expect(HARBOUR_MALL).toContain(from);
    expect(messageOf(HARBOUR_MALL.replace(from, to))).toMatch(/: expected .+, found .+/);
  });
});

describe('a hostile file', () => {
  it('cannot grow by aliases of aliases', () => {
    const levels = ['a: &a [x, x, x, x, x, x, x, x, x, x]'];
    for (const [from, to] of ['ab', 'bc', 'cd', 'de', 'ef', 'fg', 'gh']) {
      levels.push(`${to}: &${to} [${Array(10).fill(`*${from}`).join(', ')}]`);
    }
    expect(messageOf(levels.join('\n'))).toMatch(/Excessive alias count/);
  });

  it.each(['['.repeat(100_000), '{"a":'.repeat(50_000), '- '.repeat(50_000)])(
    'cannot nest without end',
    (text) => {
      expect(messageOf(text)).toMatch(/^fleet\.yaml/);
    },
  );

  it.each(['sites: *nowhere', '__proto__: { x: 1 }\nsites: []', '? [a]\n: 1'])(
    'is refused: %j',
    (text) => {
      expect(messageOf(text)).toMatch(/^fleet\.yaml/);
    },
  );

  it('cannot be larger than the limit', () => {
    expect(messageOf(' '.repeat(16_000_001))).toContain('at most 16000000');
  });
});
