import { applyFleet, parseFleetFile, toFleet } from '@lineside/fleet';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FastLines } from '../src/backtest/fast-line.ts';
import { type InputKind, type LineContext, readJsonLine } from '../src/backtest/json-line.ts';
import { KnownPlaces } from '../src/backtest/known-places.ts';
import { LineValues } from '../src/backtest/line-values.ts';
import { NAMED_MOST, Refusals } from '../src/backtest/refusals.ts';

const FLEET = `
sites:
  - id: harbour-mall
    units: [ { id: rtu-01, supply: { volts: 600 } }, { id: rtu-02, supply: { volts: 480 } } ]
  - id: hilltop-school
    units: [ { id: rtu-01, supply: { volts: 208 } } ]
`;
const places = new KnownPlaces(toFleet(applyFleet(null, parseFleetFile(FLEET, 'fleet.yaml'))));

function contextOf(kind: InputKind): LineContext {
  return { kind, places, refusals: new Refusals('readings.ndjson') };
}

function readSlow(text: string, kind: InputKind = 'telemetry') {
  const context = contextOf(kind);
  const event = readJsonLine(text, 7, context, new LineValues());
  return { event, report: context.refusals.report() };
}

function readFast(text: string, kind: InputKind = 'telemetry') {
  const context = contextOf(kind);
  const bytes = Buffer.from(`xx${text}yy`);
  const event = new FastLines(context, new LineValues()).read(bytes, 2, bytes.length - 2, 7);
  return { event, report: context.refusals.report() };
}

const HEAD = '"site":"harbour-mall","unit":"rtu-01","time":"2026-01-10T04:00:00Z"';

describe('a line of readings', () => {
  const line = `{${HEAD},"rh":71.2,"t":-3.1,"leak":1.9,"leakr":null,"leakmax":4.2,"ia":17,"door":true}`;

  it.each([
    ['straight from its bytes', readFast],
    ['with JSON.parse', readSlow],
  ])('is read %s, leakage from mA to A', (_title, read) => {
    expect(read(line)).toEqual({
      event: {
        rank: 2,
        site: 'harbour-mall',
        unit: 'rtu-01',
        atMs: Date.UTC(2026, 0, 10, 4),
        channels: { rh: 71.2, t: -3.1, leak: 0.0019, leakmax: 0.0042, ia: 17, door: 1 },
        service: null,
      },
      report: [],
    });
  });

  it.each([
    ['of the outdoor station is weather', HEAD.replace('rtu-01', 'weather')],
    ['of a unit is none, wind is not its business', HEAD],
  ])('%s', (_title, head) => {
    const { event } = readFast(`{${head},"wind":3.5,"rh":80}`);
    const isWeather = head !== HEAD;
    expect(event).toMatchObject({ rank: isWeather ? 0 : 2 });
    expect(event?.channels).toEqual(isWeather ? { wind: 3.5, rh: 80 } : { rh: 80 });
  });

  it('in which nothing was measured hears nobody', () => {
    expect(readFast(`{${HEAD},"rh":null}`).event?.channels).toBeNull();
    expect(readFast(`{${HEAD},"rh":900}`).event?.channels).toEqual({});
  });

  it.each([
    ['rh', 100.5],
    ['rh', -0.5],
    ['t', 111],
    ['leak', 10_001],
    ['leakmax', 100_001],
    ['ia', 2001],
    ['door', 0.5],
    ['batt', 61],
  ])('loses a %s of %s alone', (channel, value) => {
    const text = `{${HEAD},"${channel}":${value},"vab":600}`;
    for (const { event, report } of [readFast(text), readSlow(text)]) {
      expect(event?.channels).toEqual({ vab: 600 });
      expect(report[0]).toContain(
        `readings.ndjson:7: implausible value, channel dropped: ${channel} ${value}`,
      );
    }
  });

  it.each([
    ['{"site":', 'not a JSON object'],
    ['[1,2]', 'not a JSON object'],
    ['null', 'not a JSON object'],
    ['{}', 'site is nothing'],
    [`{${HEAD.replace('rtu-01', 'rtu-99')}}`, 'unknown unit: "rtu-99" of site "harbour-mall"'],
    [`{${HEAD.replace('harbour', 'other')}}`, 'of unknown site "other-mall"'],
    [`{${HEAD.replace('"rtu-01"', '1')}}`, 'unit is 1'],
    [`{${HEAD.replace('04:00:00Z', '04:00:00')}}`, 'invalid time: "2026-01-10T04:00:00"'],
    [`{${HEAD.replace('01-10', '02-30')}}`, 'invalid time'],
    [`{${HEAD},"rh":"71"}`, 'wrong type: rh is "71"'],
    [`{${HEAD},"rh":true}`, 'wrong type: rh is true'],
    [`{${HEAD},"ia":[1]}`, 'wrong type: ia is [1]'],
  ])('%s is refused with its reason', (text, words) => {
    expect(readFast(text).event).toBeNull();
    const { event, report } = readSlow(text);
    expect(event).toBeNull();
    expect(report[0]).toContain('readings.ndjson:7: ');
    expect(report[0]).toContain(words);
  });

  it('of a unit is refused in a weather file', () => {
    expect(readFast(`{${HEAD}}`, 'weather').event).toBeNull();
    expect(readSlow(`{${HEAD}}`, 'weather').report[0]).toContain('belongs into another file');
  });

  it('is taken from bytes only as JSON.parse would take it', () => {
    const key = fc.constantFrom(
      'rh',
      't',
      'leak',
      'leakmax',
      'ia',
      'door',
      'wind',
      'note',
      'ph',
      '',
    );
    const number = fc.oneof(
      fc.integer({ min: -200, max: 20_000 }).map((steps) => String(steps / 100)),
      fc.double({ noNaN: true, noDefaultInfinity: true }).map(String),
      fc.constantFrom('-0', '0.10', '007', '1.', '.5', '1e2', '1E-3', '123456789012345678', '+1'),
    );
    const value = fc.oneof(
      { weight: 4, arbitrary: number },
      { weight: 1, arbitrary: fc.json({ maxDepth: 1 }) },
      { weight: 1, arbitrary: fc.constantFrom('null', 'true', 'false', 'nul', '"é"', '"a\\nb"') },
    );
    const pair = fc.tuple(key, value).map(([name, written]) => `"${name}":${written}`);
    const head = HEAD.split(',');
    const space = fc.constantFrom('', '', ' ', '\t', '\r');
    const text = fc
      .tuple(fc.shuffledSubarray(head, { minLength: 3 }), fc.array(pair, { maxLength: 6 }), space)
      .chain(([heads, pairs, gap]) =>
        fc
          .shuffledSubarray([...heads, ...pairs], { minLength: heads.length + pairs.length })
          .map(
            (parts) => `{${gap}${parts.join(`,${gap}`).replaceAll('":', `":${gap}`)}${gap}}${gap}`,
          ),
      );
    const spoiled = fc
      .tuple(text, fc.nat(), fc.constantFrom('', ',', '"', '}', '0', ' ', ':'))
      .map(([whole, at, put]) => {
        const place = at % whole.length;
        return whole.slice(0, place) + put + whole.slice(place + 1);
      });
    let taken = 0;
    fc.assert(
      fc.property(fc.oneof(text, spoiled), (line) => {
        const fast = readFast(line);
        if (fast.event === null) return;
        taken += 1;
        const slow = readSlow(line);
        expect(fast.event).toEqual(slow.event);
        // Values of one line are told in the line's order or in that of the channel table.
        expect(fast.report.toSorted()).toEqual(slow.report.toSorted());
      }),
      { numRuns: 3000 },
    );
    expect(taken).toBeGreaterThan(200);
  });
});

describe('a line of service', () => {
  it('is a record of its unit', () => {
    const text = `{${HEAD},"action":"fuses-replaced","phases":["a","c"],"by":"B. Quill"}`;
    expect(readSlow(text, 'service').event).toMatchObject({
      rank: 1,
      unit: 'rtu-01',
      service: { action: 'fuses-replaced', phases: ['a', 'c'], atMs: Date.UTC(2026, 0, 10, 4) },
    });
    const bare = readSlow(`{${HEAD},"action":"cleaned","phases":null}`, 'service');
    expect(bare.event?.service?.phases).toBeNull();
  });

  it.each([
    ['"action":"painted"', 'unknown action: "painted"'],
    ['"action":5', 'action is 5'],
    ['"phases":["a"]', 'action is nothing'],
    ['"action":"cleaned","phases":["d"]', 'phases is ["d"]'],
    ['"action":"cleaned","phases":"a"', 'phases is "a"'],
  ])('with %s is refused', (fields, words) => {
    const { event, report } = readSlow(`{${HEAD},${fields}}`, 'service');
    expect(event).toBeNull();
    expect(report[0]).toContain(words);
  });
});

describe('refusals', () => {
  it('name the first lines of each reason, then only count', () => {
    const refusals = new Refusals('r.ndjson');
    for (let line = 1; line <= 30; line++) refusals.add('not-json', line, () => `x${line}`);
    refusals.add('implausible', 31, () => 'rh 120');
    const report = refusals.report();
    expect(report).toHaveLength(NAMED_MOST + 3);
    expect(report[NAMED_MOST - 1]).toBe('r.ndjson:20: not a JSON object: x20');
    expect(report[NAMED_MOST]).toBe('r.ndjson: 30 lines in all: not a JSON object');
    expect(refusals.lines).toBe(30);
  });
});
