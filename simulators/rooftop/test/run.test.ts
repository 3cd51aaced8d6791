import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  type RunReading,
  type RunTruth,
  runFiles,
  runWorld,
  worldTruth,
  writeRun,
} from '../src/index.ts';
import { DAY_MS, HOUR_MS, MINUTE_MS, START_MS, smallWorld, TRACK } from './small-world.ts';

const END_MS = START_MS + 6 * DAY_MS;
const OPTIONS = { everyMs: MINUTE_MS, endMs: END_MS };

function sickWorld(seed = 1) {
  return smallWorld({
    climate: 'humid-coast',
    seed,
    faults: [
      { ...TRACK, carbonAtStart: 0.25, depositMicrosiemens: 30, fromMs: START_MS + DAY_MS / 2 },
      {
        kind: 'network-outage',
        fromMs: START_MS + DAY_MS,
        toMs: START_MS + 2 * DAY_MS,
        backlog: 'lost',
      },
      { kind: 'duplicate-deliveries', fromMs: START_MS + 3 * DAY_MS, share: 0.5 },
    ],
    script: {
      visits: [
        {
          atMs: START_MS + 4 * DAY_MS,
          disconnectOpenMs: 2 * HOUR_MS,
          effects: ['track-removed', 'sealed'],
          lines: [{ action: 'contactor-replaced', contactor: 'C1' }, { action: 'sealed' }],
        },
      ],
    },
  });
}

function play(seed = 1): { readings: RunReading[]; reports: number; truth: RunTruth } {
  const world = sickWorld(seed);
  const readings: RunReading[] = [];
  let reports = 0;
  runWorld(world, OPTIONS, {
    reading: (reading) => readings.push(reading),
    weather: () => {
      reports += 1;
    },
    service: () => undefined,
  });
  return { readings, reports, truth: worldTruth(world, END_MS) };
}

describe('a run without network', () => {
  it('gives the same for the same seed, truth included, and another for another', () => {
    const first = play();
    expect(play()).toEqual(first);
    expect(play(2).readings).not.toEqual(first.readings);
  });

  it('hands out readings in order, without those lost, with those repeated', () => {
    const { readings, reports } = play();
    const times = readings.map(({ atMs }) => atMs);
    expect(times).toEqual([...times].sort((left, right) => left - right));
    const inOutage = times.filter((at) => at > START_MS + DAY_MS && at < START_MS + 2 * DAY_MS);
    expect(inOutage).toEqual([]);
    const late = times.filter((at) => at > START_MS + 3 * DAY_MS);
    expect(late.length / new Set(late).size).toBeCloseTo(1.5, 1);
    expect(reports).toBe((6 * DAY_MS) / (5 * MINUTE_MS));
  });

  it('writes a truth that its readings bear out', () => {
    const { readings, truth } = play();
    const { faults, visits, wettings } = truth.units[0]!;
    const track = faults[0]!;
    expect(track).toMatchObject({ fault: 'track-to-ground', side: 'line', phases: ['c'] });
    expect(track.onsetMs).toBe(START_MS + DAY_MS / 2);
    expect(track.observableMs).toBeGreaterThanOrEqual(track.onsetMs);
    expect(track.endedMs).toBe(START_MS + 4 * DAY_MS + HOUR_MS);
    expect(track.observableWettingsMs.length).toBeGreaterThan(0);
    expect(track.observableWettingsMs.every((at) => at >= track.observableMs!)).toBe(true);
    expect(visits[0]).toMatchObject({ ended: [0], sealed: true });
    expect(visits[0]!.actions).toEqual(['contactor-replaced', 'sealed']);
    expect(wettings.length).toBeGreaterThan(0);
    const highest = (from: number, to: number): number =>
      Math.max(
        0,
        ...readings
          .filter(({ atMs }) => atMs >= from && atMs < to)
          .map(({ channels }) => 1000 * channels.leak!),
      );
    const begun = highest(track.observableMs!, track.endedMs!);
    expect(begun).toBeGreaterThan(highest(START_MS, track.onsetMs) + 1);
    expect(begun).toBeGreaterThan(highest(track.endedMs! + 3 * HOUR_MS, END_MS) + 1);
  });

  it('tells a dead node by the sample that is missing, until somebody revives it', () => {
    const diesMs = START_MS + DAY_MS + 30_000;
    const visit = { atMs: START_MS + 2 * DAY_MS, disconnectOpenMs: 0, lines: [] };
    const world = smallWorld({
      faults: [{ kind: 'node-dead', fromMs: diesMs }],
      script: { visits: [{ ...visit, effects: ['node-revived'] }] },
    });
    const times: number[] = [];
    const endMs = START_MS + 3 * DAY_MS;
    runWorld(
      world,
      { everyMs: MINUTE_MS, endMs },
      {
        reading: ({ atMs }) => times.push(atMs),
        weather: () => undefined,
        service: () => undefined,
      },
    );
    const fault = worldTruth(world, endMs).units[0]!.faults[0]!;
    expect(fault).toMatchObject({ side: 'node', failureMs: diesMs, endedMs: visit.atMs });
    expect(fault.observableMs! - diesMs).toBeLessThanOrEqual(MINUTE_MS);
    expect(times.filter((at) => at >= diesMs && at < visit.atMs)).toEqual([]);
    expect(times.some((at) => at > visit.atMs)).toBe(true);
  });

  it('refuses to sample more often than a node does', () => {
    const sink = { reading: () => undefined, weather: () => undefined, service: () => undefined };
    expect(() => runWorld(sickWorld(), { everyMs: 500, endMs: END_MS }, sink)).toThrow(/everyMs/);
  });
});

describe('a run in files', () => {
  it('is what the back-test reads, leakage in mA, with the truth beside it', () => {
    const folder = mkdtempSync(join(tmpdir(), 'run-'));
    try {
      const counts = writeRun(sickWorld(), folder, OPTIONS);
      const files = runFiles(folder);
      const lines = (path: string): Record<string, unknown>[] =>
        readFileSync(path, 'utf8')
          .trim()
          .split('\n')
          .map((text) => JSON.parse(text));
      const readings = lines(files.readings);
      const { readings: played, truth } = play();
      expect(readings).toHaveLength(counts.readings);
      expect(played).toHaveLength(counts.readings);
      expect(readings[100]).toMatchObject({
        site: 'test-site',
        unit: 'rtu-01',
        time: new Date(played[100]!.atMs).toISOString(),
        rh: played[100]!.channels.rh,
      });
      expect(readings[100]!['leak']).toBeCloseTo(1000 * played[100]!.channels.leak!, 6);
      expect(lines(files.weather)[0]).toMatchObject({ site: 'test-site', unit: 'weather' });
      expect(lines(files.service).map(({ action }) => action)).toEqual([
        'disconnect-opened',
        'contactor-replaced',
        'sealed',
        'disconnect-closed',
      ]);
      expect(JSON.parse(readFileSync(files.truth, 'utf8'))).toEqual(truth);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
