import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { applyFleet, parseFleetFile, toFleet } from '@lineside/fleet';
import fc from 'fast-check';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { openInput } from '../src/backtest/input-file.ts';
import type { InputKind } from '../src/backtest/json-line.ts';
import { type Input, judgeInputs } from '../src/backtest/judge-inputs.ts';
import { Progress } from '../src/backtest/progress.ts';
import { TemporaryFiles } from '../src/backtest/temporary-files.ts';

const FLEET = `
sites:
  - id: harbour-mall
    units: [ { id: rtu-01, supply: { volts: 600 } }, { id: rtu-02, supply: { volts: 480 } } ]
`;
const fleet = toFleet(applyFleet(null, parseFleetFile(FLEET, 'fleet.yaml')));
/** So small that everything goes through the disk, in several passes. */
const SORT_LIMITS = { runMostCharacters: 20_000, runsMergedMost: 4, runChunkBytes: 500 };
const START_MS = Date.UTC(2026, 0, 10);
const MINUTE_MS = 60_000;
const MINUTES = 360;

const timeOf = (minute: number) => new Date(START_MS + minute * MINUTE_MS).toISOString();
const lineOf = (unit: string, minute: number, fields: object) =>
  JSON.stringify({ site: 'harbour-mall', unit, time: timeOf(minute), ...fields });

/** Leakage stands for two hours on one unit; the other is silent for a while, then wet. */
const readings = Array.from({ length: MINUTES }, (_, minute) => {
  const leak = minute >= 60 && minute < 180 ? 60 : 0.6;
  const one = lineOf('rtu-01', minute, { rh: 45, t: 15, tp: 15, leak, ia: 17, ib: 17, ic: 17 });
  const isSilent = minute >= 30 && minute < 180;
  const plate = minute > 200 ? 4 : 16;
  return isSilent
    ? [one]
    : [one, lineOf('rtu-02', minute, { rh: 85, t: 15, tp: plate, leak: 0.5 })];
}).flat();
const weather = Array.from({ length: MINUTES / 10 }, (_, step) =>
  lineOf('weather', step * 10, { rh: 70, t: 10 }),
);
const service = [190, 191, 192, 192, 193].map((minute, index) =>
  lineOf('rtu-01', minute, { action: 'fuses-replaced', phases: [index % 2 === 0 ? 'a' : 'b'] }),
);

describe('a back-test of files', () => {
  let folder: string;
  let temporary: TemporaryFiles;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'lineside-backtest-test-'));
  });
  beforeEach(() => {
    temporary = new TemporaryFiles();
    return () => temporary.dispose();
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  async function judged(files: Partial<Record<InputKind, readonly string[] | Buffer>>) {
    const inputs: Input[] = [];
    for (const [kind, content] of Object.entries(files) as [InputKind, string[] | Buffer][]) {
      const path = join(folder, `${kind}.ndjson`);
      writeFileSync(path, Buffer.isBuffer(content) ? content : `${content.join('\n')}\n`);
      inputs.push({ kind, file: await openInput(path, temporary) });
    }
    const { outcome, refusals } = await judgeInputs({
      fleet,
      inputs,
      conditionEveryMs: 30 * MINUTE_MS,
      chunkBytes: 1000,
      inputSort: SORT_LIMITS,
      outputSort: SORT_LIMITS,
      temporary,
      progress: new Progress(0),
    });
    const texts: Record<string, string[]> = {};
    for (const name of ['alarms', 'episodes', 'conditions'] as const) {
      texts[name] = [];
      for await (const items of outcome[name].sorted()) {
        texts[name].push(...items.map(({ text }) => text));
      }
    }
    outcome.close();
    return { ...texts, report: refusals.flatMap((each) => each.report()) } as {
      alarms: string[];
      episodes: string[];
      conditions: string[];
      report: string[];
    };
  }

  it('finds what happened, in order of time', async () => {
    const { alarms, episodes, conditions, report } = await judged({
      telemetry: readings,
      weather,
      service,
    });
    expect(report).toEqual([]);
    const found = alarms.map((line) => JSON.parse(line));
    expect(found.map(({ unit, kind }) => `${unit} ${kind}`)).toEqual(
      expect.arrayContaining(['rtu-01 leakage', 'rtu-01 repeat-fuse', 'rtu-02 silent']),
    );
    const raised = found.map((alarm) => Date.parse(alarm.raised));
    expect(raised).toEqual(raised.toSorted((a, b) => a - b));
    expect(new Set(found.map(({ id }) => id)).size).toBe(found.length);
    for (const { id, acknowledged, state, cleared } of found) {
      expect(id).toMatch(/^[A-Za-z0-9_-]{1,64}$/);
      expect(acknowledged).toBeNull();
      expect(state).toBe(cleared === null ? 'unacknowledged' : 'returned-unacknowledged');
    }
    const wetting = JSON.parse(episodes[0] ?? 'null');
    expect(wetting).toMatchObject({ site: 'harbour-mall', unit: 'rtu-02' });
    expect(Object.keys(wetting).slice(0, 7)).toEqual([
      'site',
      'unit',
      'start',
      'peak',
      'end',
      'source',
      'wetHours',
    ]);
    const times = conditions.map((line) => JSON.parse(line).time);
    expect(times).toEqual(times.toSorted());
    expect(times).toContain('2026-01-10T01:30:00Z');
    expect(JSON.parse(conditions[0] ?? 'null')).toMatchObject({
      unit: 'rtu-01',
      time: '2026-01-10T00:30:00Z',
      lastReading: '2026-01-10T00:29:00Z',
      relativeHumidityPercent: 45,
    });
  });

  it('says the same whatever order lines are in', async () => {
    const expected = await judged({ telemetry: readings, weather, service });
    const shuffled = (lines: readonly string[]) =>
      fc.shuffledSubarray([...lines], { minLength: lines.length });
    await fc.assert(
      fc.asyncProperty(
        shuffled(readings),
        shuffled(weather),
        shuffled(service),
        async (telemetry, reports, records) => {
          const found = await judged({ telemetry, weather: reports, service: records });
          expect(found).toEqual(expected);
        },
      ),
      { numRuns: 8 },
    );
  });

  it('takes the first value of a channel and time in the order of the file, sorted or not', async () => {
    const again = readings.map((line) => line.replace('"leak":0.6', '"leak":60'));
    const expected = await judged({ telemetry: readings });
    const { alarms } = await judged({ telemetry: [...readings, ...again] });
    expect(alarms).toEqual(expected.alarms);
    const twice = readings.flatMap((line, index) => [line, again[index] ?? line]);
    expect((await judged({ telemetry: twice })).alarms).toEqual(expected.alarms);
  });

  it('takes weather from the readings file, and gzip', async () => {
    const expected = await judged({ telemetry: readings, weather });
    const mixed = [...weather, ...readings].join('\n');
    const { alarms, conditions, episodes } = await judged({ telemetry: gzipSync(mixed) });
    expect({ alarms, conditions, episodes }).toEqual({
      alarms: expected.alarms,
      conditions: expected.conditions,
      episodes: expected.episodes,
    });
  });

  it('counts each bad line once although it reads twice', async () => {
    const bad = [...readings.slice(0, 400), '{"site"', ...readings.slice(400), 'x'];
    const late = [...bad, readings[0] ?? ''];
    const { report } = await judged({ telemetry: late });
    const file = join(folder, 'telemetry.ndjson');
    expect(report).toEqual([
      `${file}:401: not a JSON object: "{\\"site\\""`,
      `${file}:${bad.length}: not a JSON object: "x"`,
      `${file}: 2 lines in all: not a JSON object`,
    ]);
  });

  it('hears time pass in a line that measured nothing, but no unit', async () => {
    const gap = [lineOf('rtu-01', 0, { rh: 40 }), lineOf('rtu-01', 200, { rh: null })];
    const { alarms } = await judged({ telemetry: gap });
    expect(alarms.map((line) => JSON.parse(line).kind)).toEqual(['silent']);
  });

  it('finds nothing in nothing', async () => {
    const { alarms, episodes, conditions, report } = await judged({ telemetry: Buffer.alloc(0) });
    expect([alarms, episodes, conditions, report]).toEqual([[], [], [], []]);
  });

  it('says that an input is broken', async () => {
    const broken = gzipSync(readings.join('\n')).subarray(0, 2000);
    await expect(judged({ telemetry: broken })).rejects.toThrow(/cannot read .*telemetry\.ndjson/);
  });
});
