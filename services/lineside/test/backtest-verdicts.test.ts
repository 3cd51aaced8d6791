import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Alarm, type AlarmJson, actOnAlarm } from '@lineside/alarms';
import { openRecordStore } from '@lineside/storage';
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import { backtest } from '../src/commands/backtest.ts';
import { verdicts } from '../src/commands/verdicts.ts';

const FLEET = `
sites:
  - id: harbour-mall
    units: [ { id: rtu-01, supply: { volts: 600 } }, { id: rtu-02, supply: { volts: 480 } } ]
`;
const START_MS = Date.UTC(2026, 0, 10);
const MINUTE_MS = 60_000;

const timeOf = (minute: number) => new Date(START_MS + minute * MINUTE_MS).toISOString();

/** 60 mA for an hour on one unit; the other is well. */
const READINGS = Array.from({ length: 240 }, (_, minute) => {
  const calm = { rh: 45, t: 15, tp: 15, ia: 17, ib: 17, ic: 17 };
  const leak = minute >= 60 && minute < 120 ? 60 : 0.6;
  const line = (unit: string, fields: object) =>
    JSON.stringify({ site: 'harbour-mall', unit, time: timeOf(minute), ...fields });
  return [line('rtu-01', { ...calm, leak }), line('rtu-02', { ...calm, leak: 0.6 })];
}).flat();

function labelled(unit: string, verdict: string, fields: object = {}): string {
  const raised = timeOf(61);
  return JSON.stringify({
    site: 'harbour-mall',
    unit,
    kind: 'leakage',
    raised,
    verdict,
    ...fields,
  });
}

describe('a back-test beside what people found', () => {
  let folder: string;
  const path = (name: string): string => join(folder, name);
  const write = (name: string, lines: readonly string[]): string => {
    writeFileSync(path(name), `${lines.join('\n')}\n`);
    return path(name);
  };

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'lineside-verdicts-test-'));
    writeFileSync(path('fleet.yaml'), FLEET);
    write('readings.ndjson', READINGS);
  });
  afterAll(() => rmSync(folder, { recursive: true }));
  afterEach(() => {
    process.exitCode = undefined;
  });

  /** Runs the command; gives what it told on standard error. */
  async function told(more: Partial<Parameters<typeof backtest>[0]>): Promise<string> {
    const stderr = vi.spyOn(process.stderr, 'write').mockReturnValue(true);
    try {
      await backtest({
        fleet: path('fleet.yaml'),
        telemetry: [path('readings.ndjson')],
        weather: [],
        service: [],
        alarms: path('alarms.ndjson'),
        every: '1h',
        ...more,
      });
      return stderr.mock.calls.map(([text]) => String(text)).join('');
    } finally {
      stderr.mockRestore();
    }
  }

  it('counts by kind what is raised again and what is not, and lists what went wrong', async () => {
    const file = write('cases.ndjson', [
      labelled('rtu-01', 'true', { cause: 'load-insulation' }),
      labelled('rtu-02', 'true'),
      labelled('rtu-02', 'false', { kind: 'moisture' }),
      labelled('rtu-01', 'false', { kind: 'silent', raised: '2025-01-01T00:00:00Z' }),
      labelled('rtu-99', 'true'),
    ]);
    const report = path('report.json');
    const words = await told({ verdicts: file, verdictReport: report });
    const lines = words.split('\n').map((line) => line.trim().split(/ {2,}/));
    expect(lines).toContainEqual([
      'leakage',
      '2',
      '1',
      '1',
      expect.any(String),
      '0',
      '0',
      '0',
      '1',
    ]);
    expect(lines).toContainEqual(['moisture', '0', '0', '0', '0', '1', '1', '0', '0']);
    expect(lines).toContainEqual(['silent', '0', '0', '0', '0', '0', '0', '0', '1']);
    expect(JSON.parse(readFileSync(report, 'utf8'))).toMatchObject({
      counts: [
        { kind: 'moisture' },
        { kind: 'leakage', true: 2, raisedAgain: 1 },
        { kind: 'silent' },
      ],
      missed: [{ unit: 'rtu-02', kind: 'leakage', raised: '2026-01-10T01:01:00Z' }],
      raisedStill: [],
    });
    expect(process.exitCode).toBeUndefined();
    const alarms = readFileSync(path('alarms.ndjson'), 'utf8');
    await told({});
    expect(readFileSync(path('alarms.ndjson'), 'utf8')).toBe(alarms);
  });

  it('names lines that cannot be taken, and takes the others', async () => {
    const file = write('bad.ndjson', [
      'nonsense',
      labelled('rtu-01', 'perhaps'),
      labelled('rtu-01', 'true', { raised: 'yesterday' }),
      labelled('rtu-01', 'true', { kind: 'noise' }),
      '',
      labelled('rtu-01', 'true'),
    ]);
    const words = await told({ verdicts: file });
    expect(words).toContain('bad.ndjson:1: not a JSON object');
    expect(words).toContain('bad.ndjson:2: a field is missing or of the wrong type: {"verdict"');
    expect(words).toContain('bad.ndjson:3: invalid time: {"raised":"yesterday"}');
    expect(words).toMatch(/leakage +1 +1 /);
    expect(process.exitCode).toBe(1);
  });

  it('refuses a report without verdicts, and files in each other’s way', async () => {
    await expect(told({ verdictReport: path('r.json') })).rejects.toThrow('goes with --verdicts');
    const file = write('own.ndjson', [labelled('rtu-01', 'true')]);
    await expect(told({ verdicts: file, verdictReport: file })).rejects.toThrow('file of its own');
    await expect(told({ verdicts: path('none') })).rejects.toThrow('cannot read');
  });

  it('takes what the command writes from a data folder', async () => {
    await told({});
    const lines = readFileSync(path('alarms.ndjson'), 'utf8').split('\n').filter(Boolean);
    const found: AlarmJson[] = lines.map((line) => JSON.parse(line));
    const leakage = found.find(({ kind }) => kind === 'leakage');
    if (leakage === undefined) throw new Error('no leakage alarm was raised');
    mkdirSync(path('data'));
    await keepVerdict(folder, leakage);
    const out = path('written.ndjson');
    await verdicts({ data: path('data'), out });
    expect(JSON.parse(readFileSync(out, 'utf8'))).toMatchObject({
      ...{ site: 'harbour-mall', unit: 'rtu-01', kind: 'leakage', raised: leakage.raised },
      ...{ verdict: 'true', cause: 'condensation', found: 'a track at L1', by: 'rosa' },
    });
    expect(await told({ verdicts: out })).toMatch(/leakage +1 +1 +1 /);
  });
});

/** A data folder with this alarm, acknowledged, and what somebody found. */
async function keepVerdict(folder: string, json: AlarmJson): Promise<void> {
  const { id, site, unit, kind, priority, headline, evidence, causes } = json;
  const raisedAtMs = Date.parse(json.raised);
  const alarm: Alarm = {
    ...{ id, site, unit, kind, priority, headline, evidence, causes, raisedAtMs },
    ...{
      state: 'unacknowledged',
      standing: true,
      clearedAtMs: null,
      withdrawn: false,
      revision: 1,
    },
    ...{ acknowledgedAtMs: null, acknowledgedBy: null },
    ...{ shelvedUntilMs: null, shelvedBy: null, shelveReason: null },
    priorities: [{ priority, sinceMs: raisedAtMs, causes }],
  };
  const line = { atMs: raisedAtMs, event: 'raise', from: null, by: 'watch', note: null } as const;
  const records = await openRecordStore({ file: join(folder, 'data', 'records.db') });
  try {
    await records.changeAlarms([{ entry: { ...line, to: 'unacknowledged', alarm } }]);
    const context = { atMs: raisedAtMs + 1, by: 'rosa' };
    const answered = actOnAlarm(alarm, { type: 'acknowledge', note: 'on my way' }, context);
    if (!answered.ok || answered.entry === null) throw new Error('not acknowledged');
    await records.changeAlarms([{ entry: answered.entry }]);
    const said = { verdict: 'true', found: 'a track at L1', cause: 'condensation' } as const;
    await records.setVerdict({ alarmId: id, ...said, by: 'rosa', atMs: raisedAtMs + 2 });
  } finally {
    await records.close();
  }
}
