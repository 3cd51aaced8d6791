import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type ChannelName, type ChannelValues, WEATHER_UNIT } from '@lineside/readings';
import { worldTruth } from '../truth/world-truth.ts';
import type { World } from '../world/world.ts';
import { LineFile } from './line-file.ts';
import { type RunOptions, runWorld } from './run-world.ts';

export interface RunFiles {
  readonly readings: string;
  readonly weather: string;
  readonly service: string;
  readonly truth: string;
}

export interface RunCounts {
  readonly readings: number;
  readonly reports: number;
  readonly records: number;
}

/** Channels that the back-test's lines give in mA. */
const IN_MILLIAMPS: ReadonlySet<string> = new Set<ChannelName>(['leak', 'leakr', 'leakmax']);

/** Where `writeRun` puts what. */
export function runFiles(folder: string): RunFiles {
  return {
    readings: join(folder, 'readings.ndjson'),
    weather: join(folder, 'weather.ndjson'),
    service: join(folder, 'service.ndjson'),
    truth: join(folder, 'truth.json'),
  };
}

/**
 * Plays a fresh world into files that the back-test reads, with the truth beside them. The folder
 * is made; files in it are replaced. Lines of one unit are in order of event time; among units they
 * are out of order by six hours at most, clock errors aside.
 */
export function writeRun(world: World, folder: string, options: RunOptions): RunCounts {
  mkdirSync(folder, { recursive: true });
  const paths = runFiles(folder);
  const readings = new LineFile(paths.readings);
  const weather = new LineFile(paths.weather);
  const service = new LineFile(paths.service);
  const counts = { readings: 0, reports: 0, records: 0 };
  runWorld(world, options, {
    reading: ({ site, unit, atMs, channels }) => {
      counts.readings += 1;
      readings.line(line(site, unit, atMs, channels));
    },
    weather: ({ site, atMs, channels }) => {
      counts.reports += 1;
      weather.line(line(site, WEATHER_UNIT, atMs, channels));
    },
    service: (record) => {
      counts.records += 1;
      const { site, unit, atMs } = record;
      service.line(JSON.stringify({ site, unit, time: timeOf(atMs), ...record.line }));
    },
  });
  for (const file of [readings, weather, service]) file.close();
  writeFileSync(paths.truth, `${JSON.stringify(worldTruth(world, options.endMs))}\n`);
  return counts;
}

function line(site: string, unit: string, atMs: number, channels: ChannelValues): string {
  let text = `{"site":"${site}","unit":"${unit}","time":"${timeOf(atMs)}"`;
  for (const name in channels) {
    const value = channels[name as ChannelName];
    if (value === undefined) continue;
    text += `,"${name}":${IN_MILLIAMPS.has(name) ? milliamps(value) : value}`;
  }
  return `${text}}`;
}

/** The resolution of the node's leakage channels is 10 microamps. */
function milliamps(amps: number): number {
  return Math.round(amps * 100_000) / 100;
}

function timeOf(atMs: number): string {
  return new Date(atMs).toISOString();
}
