/** `lineside backtest` as its users meet it: files, standard input and output, exit statuses. */
import { execFile, execFileSync, spawn } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { gzipSync } from 'node:zlib';
import { alarmJsonSchema } from '@lineside/alarms';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { COMMAND, lineside } from './server-process.ts';

const FLEET = `
sites:
  - id: harbour-mall
    units:
      - { id: rtu-01, supply: { volts: 600 } }
      - { id: rtu-02, supply: { volts: 480 } }
`;
const START_MS = Date.UTC(2026, 0, 10);
const MINUTES = 240;

function lineOf(unit: string, minute: number, fields: object): string {
  const time = new Date(START_MS + minute * 60_000).toISOString().replace('.000Z', 'Z');
  return JSON.stringify({ site: 'harbour-mall', unit, time, ...fields });
}

/** 60 mA for an hour on one unit (as 60 A it would be implausible); the other has 0.6 mA. */
const READINGS = Array.from({ length: MINUTES }, (_, minute) => {
  const leak = minute >= 60 && minute < 120 ? 60 : 0.6;
  const calm = { rh: 45, t: 15, tp: 15, ia: 17, ib: 17, ic: 17 };
  return [
    lineOf('rtu-01', minute, { ...calm, leak }),
    lineOf('rtu-02', minute, { ...calm, leak: 0.6 }),
  ];
}).flat();
const SERVICE = [
  lineOf('rtu-02', 100, { action: 'fuses-replaced', phases: ['a'] }),
  lineOf('rtu-02', 101, { action: 'fuses-replaced', phases: ['a'] }),
];

/** The command with a text on standard input. */
function linesideReading(
  input: string,
  args: readonly string[],
): Promise<{ status: number | null; stdout: string; stderr: string }> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [COMMAND, ...args]);
    let stdout = '';
    let stderr = '';
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      stdout += text;
    });
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      stderr += text;
    });
    child.on('close', (status) => resolve({ status, stdout, stderr }));
    child.stdin.end(input);
  });
}

describe('lineside backtest', () => {
  let folder: string;
  const path = (name: string): string => join(folder, name);
  const write = (name: string, content: string | Buffer): string => {
    writeFileSync(path(name), content);
    return path(name);
  };
  const read = (name: string): Record<string, unknown>[] =>
    readFileSync(path(name), 'utf8')
      .split('\n')
      .slice(0, -1)
      .map((line) => JSON.parse(line));
  const common = (telemetry: string): string[] => [
    ...['backtest', '--fleet', path('fleet.yaml'), '--telemetry', telemetry],
    ...['--alarms', path('alarms.ndjson')],
  ];

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'lineside-e2e-'));
    write('fleet.yaml', FLEET);
    write('readings.ndjson', `${READINGS.join('\n')}\n`);
    write('service.ndjson', SERVICE.join('\n'));
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  it('writes alarms as they look everywhere, episodes and conditions', async () => {
    const { status, stdout, stderr } = await lineside([
      ...common(path('readings.ndjson')),
      ...['--service', path('service.ndjson'), '--episodes', path('episodes.ndjson')],
      ...['--conditions', path('conditions.ndjson'), '--every', '30m'],
    ]);
    expect({ status, stdout, stderr }).toEqual({ status: 0, stdout: '', stderr: '' });
    const alarms = read('alarms.ndjson');
    for (const alarm of alarms) expect(alarmJsonSchema.parse(alarm)).toEqual(alarm);
    expect(alarms.map(({ unit, kind }) => [unit, kind])).toContainEqual(['rtu-01', 'leakage']);
    expect(alarms.map(({ unit, kind }) => [unit, kind])).toContainEqual(['rtu-02', 'repeat-fuse']);
    const raised = alarms.map((alarm) => String(alarm['raised']));
    expect(raised).toEqual(raised.toSorted());
    expect(read('episodes.ndjson')).toEqual([]);
    const conditions = read('conditions.ndjson');
    expect(conditions.map(({ unit, time }) => [unit, time]).slice(0, 3)).toEqual([
      ['rtu-01', '2026-01-10T00:30:00Z'],
      ['rtu-02', '2026-01-10T00:30:00Z'],
      ['rtu-01', '2026-01-10T01:00:00Z'],
    ]);
    expect(conditions[0]).toMatchObject({ leakageMilliamps: 0.6, operatingState: 'running' });
    const leftOver = readdirSync(folder).filter((name) => name.startsWith('.'));
    expect(leftOver).toEqual([]);
  });

  it('says the same of reversed and of packed lines, byte for byte', async () => {
    await lineside(common(path('readings.ndjson')));
    const expected = readFileSync(path('alarms.ndjson'));
    for (const telemetry of [
      write('reversed.ndjson', READINGS.toReversed().join('\r\n')),
      write('readings.ndjson.gz', gzipSync(READINGS.join('\n'))),
    ]) {
      const { status, stderr } = await lineside(common(telemetry));
      expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
      expect(readFileSync(path('alarms.ndjson'))).toEqual(expected);
    }
  });

  it('reads standard input and writes standard output', async () => {
    await lineside(common(path('readings.ndjson')));
    const expected = readFileSync(path('alarms.ndjson'), 'utf8');
    const args = [...common('-').slice(0, -1), '-'];
    for (const lines of [READINGS, READINGS.toReversed()]) {
      const { status, stdout } = await linesideReading(lines.join('\n'), args);
      expect(status).toBe(0);
      expect(stdout).toBe(expected);
    }
  });

  it('says so when nobody takes its output', async () => {
    const args = [...common(path('readings.ndjson')).slice(0, -1), '-'];
    const child = spawn(process.execPath, [COMMAND, ...args], {
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    child.stdout.destroy();
    let stderr = '';
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      stderr += text;
    });
    const status = await new Promise((resolve) => child.on('close', resolve));
    expect({ status, stderr }).toEqual({
      status: 2,
      stderr: 'lineside: cannot write standard output: write EPIPE\n',
    });
  });

  it('takes several files of readings', async () => {
    await lineside(common(path('readings.ndjson')));
    const expected = readFileSync(path('alarms.ndjson'));
    const [one, other] = ['rtu-01', 'rtu-02'].map((unit) =>
      write(`${unit}.ndjson`, READINGS.filter((line) => line.includes(unit)).join('\n')),
    );
    const { status } = await lineside([...common(one!), '--telemetry', other!]);
    expect(status).toBe(0);
    expect(readFileSync(path('alarms.ndjson'))).toEqual(expected);
  });

  it('reports bad lines with their numbers and ends with status 1', async () => {
    const telemetry = write(
      'bad.ndjson',
      [
        READINGS[0],
        '{"site":"harbour-mall",',
        lineOf('rtu-77', 0, { rh: 40 }),
        READINGS[1]?.replace('2026-01-10', '2026-02-30'),
        lineOf('rtu-01', 1, { rh: '71' }),
        READINGS[2],
      ].join('\n'),
    );
    write('wrong-service.ndjson', lineOf('rtu-01', 0, { action: 'painted' }));
    const { status, stderr } = await lineside([
      ...common(telemetry),
      ...['--service', path('wrong-service.ndjson')],
    ]);
    expect(status).toBe(1);
    for (const words of [
      'bad.ndjson:2: not a JSON object',
      'bad.ndjson:3: unknown unit: "rtu-77"',
      'bad.ndjson:4: invalid time: "2026-02-30T00:00:00Z"',
      'bad.ndjson:5: a field is missing or of the wrong type: rh is "71"',
      'wrong-service.ndjson:1: unknown action: "painted"',
    ]) {
      expect(stderr).toContain(words);
    }
    expect(read('alarms.ndjson')).toEqual([]);
  });

  it('drops implausible values, counts them, and ends with status 0', async () => {
    const telemetry = write('implausible.ndjson', lineOf('rtu-01', 0, { rh: 400, t: 20 }));
    const { status, stderr } = await lineside(common(telemetry));
    expect(status).toBe(0);
    expect(stderr).toContain('implausible.ndjson:1: implausible value, channel dropped: rh 400');
  });

  it('makes empty files of an empty one', async () => {
    const { status, stderr } = await lineside(common(write('empty.ndjson', '')));
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(readFileSync(path('alarms.ndjson'), 'utf8')).toBe('');
  });

  it('writes through a link, and into what is no file', async () => {
    mkdirSync(path('elsewhere'), { recursive: true });
    symlinkSync(write('elsewhere/alarms.ndjson', 'old'), path('link.ndjson'));
    const args = common(path('readings.ndjson')).slice(0, -1);
    expect((await lineside([...args, path('link.ndjson')])).status).toBe(0);
    expect(read('elsewhere/alarms.ndjson').length).toBeGreaterThan(0);
    execFileSync('mkfifo', [path('pipe')]);
    const reader = promisify(execFile)('cat', [path('pipe')]);
    expect((await lineside([...args, path('pipe')])).status).toBe(0);
    expect((await reader).stdout).toBe(readFileSync(path('elsewhere/alarms.ndjson'), 'utf8'));
  });

  it.each([
    ['no alarms file', ['--telemetry', 'readings.ndjson'], /--alarms/],
    [
      'readings that are not there',
      ['--telemetry', 'none.ndjson', '--alarms', 'x'],
      /none\.ndjson/,
    ],
    ['a folder of readings', ['--telemetry', '.', '--alarms', 'x'], /folder/],
    ['a folder that is not there', ['--telemetry', 'readings.ndjson', '--alarms', 'no/x'], /no\/x/],
    ['two standard inputs', ['--telemetry', '-', '--weather', '-', '--alarms', 'x'], /one input/],
    [
      'two standard outputs',
      ['--telemetry', 'readings.ndjson', '--alarms', '-', '--episodes', '-'],
      /one output/,
    ],
    [
      'an output over an input',
      ['--telemetry', 'readings.ndjson', '--alarms', './readings.ndjson'],
      /file of its own/,
    ],
    [
      'an interval that is none',
      ['--telemetry', 'readings.ndjson', '--alarms', 'x', '--every', '1w'],
      /--every.*1w/,
    ],
  ])('refuses %s in one line with status 2', async (_title, args, words) => {
    const { status, stdout, stderr } = await lineside(
      ['backtest', '--fleet', 'fleet.yaml', ...args],
      {},
      folder,
    );
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(words);
    expect(stderr.trim().split('\n')).toHaveLength(1);
    expect(existsSync(path('x'))).toBe(false);
  });

  it('refuses a bad fleet file with its place', async () => {
    const fleet = write('wrong.yaml', 'sites: [ { id: a, units: [ { id: b } ] } ]');
    const args = common(path('readings.ndjson'));
    const { status, stderr } = await lineside([...args, '--fleet', fleet]);
    expect(status).toBe(2);
    expect(stderr).toContain('sites[0].units[0]');
  });

  it.each(['SIGINT', 'SIGTERM'] as const)('leaves nothing behind after %s', async (signal) => {
    const place = path(`told-${signal}`);
    mkdirSync(place);
    const args = common('-').slice(0, -1);
    const child = spawn(process.execPath, [COMMAND, ...args, join(place, 'alarms.ndjson')], {
      env: { ...process.env, TMPDIR: place },
    });
    const ended = new Promise((resolve) => child.on('exit', (_, by) => resolve(by)));
    child.stdin.on('error', () => undefined);
    // The input stays open, so the command waits within its work.
    await new Promise<void>((resolve) => {
      const again = (): void => {
        child.stdin.write(`${READINGS[0]}\n`);
        if (readdirSync(place).length >= 2) resolve();
        else setImmediate(again);
      };
      again();
    });
    child.kill(signal);
    expect(await ended).toBe(signal);
    expect(readdirSync(place)).toEqual([]);
  });
});
