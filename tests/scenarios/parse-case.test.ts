import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { seriesOf } from './format/case-series.ts';
import { differences } from './format/check-case.ts';
import { judgeSeries } from './format/judge-case.ts';
import { parseCase } from './format/parse-case.ts';
import { HOUR_MS, MINUTE_MS, sinceStartWords } from './format/times.ts';

const HEAD = `A title
and a story

shows alarm leakage
source common practice, no source
`;
/** The line of the case that the first of `lines` is. */
const FIRST_LINE = 6;

const caseOf = (...lines: string[]): string => HEAD + lines.join('\n');
const read = (...lines: string[]) => parseCase(caseOf(...lines, 'expect nothing'), 'a.case');
const sent = (...lines: string[]) => seriesOf(read(...lines));

function outcomeOf(...lines: string[]): readonly string[] {
  const scenario = parseCase(caseOf(...lines), 'a.case');
  return differences(scenario, judgeSeries(scenario.units, seriesOf(scenario)));
}

describe('a timeline', () => {
  it('gives a reading for each interval, before its end, and none in a gap', () => {
    const { readings } = sent('every 10 min', '0h..1h leak 1', '20m..40m gap');
    const first = readings[0]!.atMs;
    expect(first).toBe(Date.parse('2026-01-10T00:00:00Z'));
    expect(readings.map(({ atMs }) => (atMs - first) / MINUTE_MS)).toEqual([0, 10, 40, 50]);
  });

  it('ramps evenly through all values of a line', () => {
    const { readings } = sent('every 10 min', '0h..1h humidity 40 -> 60 -> 30');
    const humidity = readings.map(({ channels }) => Math.round(channels.rh!));
    expect(humidity).toEqual([40, 47, 53, 60, 50, 40]);
  });

  it('takes the later of two lines, and leaves a channel out on demand', () => {
    const { readings } = sent('every 30 min', '0h..2h leak 1, air 5 C', '1h..2h leak 9 mA, no air');
    expect(readings.map(({ channels }) => channels)).toEqual([
      { leak: 0.001, t: 5 },
      { leak: 0.001, t: 5 },
      { leak: 0.009 },
      { leak: 0.009 },
    ]);
  });

  it('repeats by the day, over midnight too, and in cycles', () => {
    const hourly = ['every 60 min', '0d..2d leak 1'];
    const night = sent(...hourly, '0d..2d each day 22:00..02:00 leak 9').readings;
    const hours = (values: typeof night) =>
      values.flatMap(({ channels }, hour) => (channels.leak === 0.009 ? [hour] : []));
    expect(hours(night)).toEqual([0, 1, 22, 23, 24, 25, 46, 47]);
    const cycle = sent(...hourly, '3h..12h 60 of every 180 min leak 9').readings;
    expect(hours(cycle)).toEqual([3, 6, 9]);
  });

  it('carries noise that is the same in every run and stays within its bounds', () => {
    const lines = ['0h..6h leak 5 ~0.5'];
    const values = sent(...lines).readings.map(({ channels }) => channels.leak! * 1000);
    expect(values).toEqual(sent(...lines).readings.map(({ channels }) => channels.leak! * 1000));
    expect(new Set(values).size).toBeGreaterThan(300);
    expect(Math.min(...values)).toBeGreaterThanOrEqual(4.5);
    expect(Math.max(...values)).toBeLessThanOrEqual(5.5);
  });

  it('turns rain in mm/h into water since the last report', () => {
    const { weather } = sent('0h..1h leak 1', 'outdoors 0h..1h rain 3 mm/h, wind 8 m/s from 270');
    expect(weather).toHaveLength(6);
    expect(weather[0]!.channels).toEqual({ rain: 0.5, wind: 8, winddir: 270 });
  });

  it('gives a line to one unit when its name stands before it', () => {
    const { readings } = sent(
      'units one two',
      'every 60 min',
      '0h..1h leak 1',
      'two: 0h..1h leak 2',
    );
    expect(readings.map(({ unit, channels }) => [unit, channels.leak])).toEqual([
      ['one', 0.001],
      ['two', 0.002],
    ]);
  });
});

describe('a case that cannot be read', () => {
  it.each([
    ['0h..6x leak 1', "'6x' is no time"],
    ['0h..6 leak 1', "'6' is no time"],
    ['6h..5h leak 1', 'ends before it begins'],
    ['0h..6h leek 1', "'leek 1' begins with no known word"],
    ['0h..6h leak 1 C', "'leak' is not measured in 'C'"],
    ['0h..6h running 17/17', "'17/17' is no value of 'running'"],
    ['0h..6h idle 9/9/9', "9 is out of range for 'idle'"],
    ['0h..6h humidity 140', "140 is out of range for 'humidity'"],
    ['0h..6h 30 of every 30 min leak 1', 'is no cycle'],
    ['0h..6h each day 25:00..26:00 leak 1', "'25:00' is no time of day"],
    ['unit 600 V wye', "'wye' is no grounding"],
    ['limits leakage urgent 10 A', 'is no limit'],
    ['at 1h service kicked', "'kicked' is no service action"],
    ['rtu-09: 0h..6h leak 1', "'rtu-09' is no unit of this case"],
    ['expect leek urgent at 1h', "'leek' is no kind of alarm"],
    ['expect leakage awful at 1h', "'awful' is no priority"],
    ['expect leakage urgent at 1h because of-rain', "'of-rain' is no cause"],
    ['shows marks x', "'shows marks x' names no row"],
    ['hello there', "'hello' begins no line that is known"],
  ])('says where and what is wrong with: %s', (line, wrong) => {
    const parse = () => parseCase(caseOf(line, '0h..1h leak 1', 'expect nothing'), 'a.case');
    expect(parse).toThrow(`a.case, line ${FIRST_LINE}: `);
    expect(parse).toThrow(wrong);
    expect(parse).toThrow('Allowed here: ');
  });

  it('misses readings, a source, or the word on everything else', () => {
    expect(() => parseCase(caseOf('expect nothing'), 'a.case')).toThrow('no readings');
    expect(() => parseCase(caseOf('0h..1h leak 1'), 'a.case')).toThrow('would go unseen');
    expect(() => parseCase('A title\n\nshows alarm leakage\n', 'a.case')).toThrow('its title');
  });
});

describe('an expectation', () => {
  const leaking = ['0h..4h idle, humidity 45, air 20 C, leak 1', '1h..4h leak 15'];

  it('holds silently', () => {
    expect(outcomeOf(...leaking, 'expect leakage urgent at 1h01', 'expect nothing else')).toEqual(
      [],
    );
  });

  it('that fails shows what came in the words of the case', () => {
    const [wrong, extra, came] = outcomeOf(
      ...leaking,
      'expect leakage urgent at 2h',
      'expect nothing else',
    );
    expect(wrong).toBe(`a.case, line ${FIRST_LINE + 2}: expect leakage urgent at 2h`);
    expect(extra).toContain('unexpected: leakage urgent at 1h01 because line-side-track-to-ground');
    expect(came).toContain('of rtu-01 came:');
    expect(came).toContain('leakage stands');
  });

  it('that cannot hold yet must fail', () => {
    const unheld = outcomeOf(...leaking, 'not yet: expect nothing', 'not yet: expect no leakage');
    expect(unheld).toEqual([]);
    const held = outcomeOf('0h..1h leak 1', 'not yet: expect nothing');
    expect(held[0]).toContain("holds now: take the words 'not yet:' away");
  });

  it('of one unit says nothing of the other', () => {
    const lines = ['units one two', '0h..4h idle, humidity 45, air 20 C, leak 1'];
    const told = outcomeOf(
      ...lines,
      'two: 1h..4h leak 15',
      'two: expect leakage urgent at 1h01',
      'one: expect no leakage',
      'expect nothing else',
    );
    expect(told).toEqual([]);
  });
});

describe('times', () => {
  it('are written as they are read', () => {
    const words = [0, 45, 60, 61, 380, 1440, 4460].map((each) => sinceStartWords(each * MINUTE_MS));
    expect(words).toEqual(['0', '45m', '1h', '1h01', '6h20', '1d', '3d2h20']);
    expect(sinceStartWords(HOUR_MS + 61_000)).toBe('1h01m1s');
  });
});

describe('the page that teaches the format', () => {
  it('has an example that holds', () => {
    const page = readFileSync(join(import.meta.dirname, 'README.md'), 'utf8');
    const example = /```text\n([\s\S]*?)```/.exec(page)?.[1] ?? '';
    const scenario = parseCase(example, 'README.md');
    const outcomes = judgeSeries(scenario.units, seriesOf(scenario));
    expect(differences(scenario, outcomes)).toEqual([]);
  });
});
