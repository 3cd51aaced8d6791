/**
 * The house rules that a compiler does not know: who may import whom, and what pure code must not
 * touch.
 */
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join, relative } from 'node:path';
import { describe, expect, it } from 'vitest';

const ROOT = join(import.meta.dirname, '..', '..');

/** What each room may import of ours. The composition root alone may import services. */
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  'packages/readings': [],
  'packages/physics': [],
  'packages/statistics': [],
  'packages/written-file': [],
  'packages/fleet': ['readings', 'written-file'],
  'packages/anomaly': ['physics', 'statistics', 'readings', 'fleet'],
  'packages/alarms': ['statistics', 'anomaly'],
  'packages/oncall': ['readings', 'anomaly', 'alarms', 'written-file'],
  'packages/paging': ['alarms', 'anomaly', 'oncall'],
  'packages/review': ['anomaly', 'alarms'],
  'packages/judging': ['readings', 'fleet', 'anomaly', 'alarms'],
  'packages/storage': ['readings', 'anomaly', 'alarms'],
  'services/ingest': ['readings', 'fleet', 'anomaly', 'alarms', 'judging', 'storage'],
  'services/alerting': ['readings', 'fleet', 'anomaly', 'alarms', 'oncall', 'paging', 'storage'],
  'services/api': [
    'readings',
    'written-file',
    'fleet',
    'anomaly',
    'alarms',
    'oncall',
    'paging',
    'review',
    'storage',
  ],
  'services/dashboard': [],
  'services/lineside': [
    'readings',
    'written-file',
    'fleet',
    'alarms',
    'anomaly',
    'judging',
    'storage',
    'oncall',
    'paging',
    'review',
    'ingest',
    'alerting',
    'api',
    'rooftop',
    'dashboard',
  ],
  'simulators/rooftop': ['physics', 'fleet', 'readings'],
  'simulators/second-opinion': ['physics', 'fleet', 'readings', 'rooftop'],
  'simulators/proving': [
    'physics',
    'statistics',
    'fleet',
    'readings',
    'anomaly',
    'alarms',
    'judging',
    'rooftop',
  ],
};

const PURE = [
  'readings',
  'written-file',
  'fleet',
  'physics',
  'statistics',
  'anomaly',
  'alarms',
  'oncall',
  'paging',
  'review',
  'judging',
].map((name) => `packages/${name}`);

/** Clock, chance, files and sockets reach pure code as arguments or not at all. */
const NOT_IN_PURE_CODE = [
  /from 'node:/,
  /import\('node:/,
  /\bDate\.now\(/,
  /\bnew Date\(\)/,
  /\bMath\.random\(/,
  /\bperformance\.now\(/,
  /\bprocess\./,
  /\bsetTimeout\(/,
  /\bconsole\./,
];

function filesBelow(folder: string, ending: RegExp): string[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => ending.test(name) && !/(^|\/)(node_modules|dist|generated)\//.test(name))
    .map((name) => join(folder, name))
    .filter((path) => statSync(path).isFile());
}

function rooms(): string[] {
  return ['packages', 'services', 'simulators'].flatMap((floor) =>
    readdirSync(join(ROOT, floor)).map((name) => `${floor}/${name}`),
  );
}

function importsOfOurs(file: string): string[] {
  const text = readFileSync(file, 'utf8');
  return [...text.matchAll(/(?:from|import\()\s*'@lineside\/([a-z-]+)/g)].map((match) => match[1]!);
}

describe('dependency directions', () => {
  it('know every room of the house', () => {
    expect(Object.keys(MAY_IMPORT).sort()).toEqual(rooms().sort());
  });

  it.each(Object.entries(MAY_IMPORT))('%s imports only what it may', (room, allowed) => {
    const wrong = filesBelow(join(ROOT, room, 'src'), /\.tsx?$/).flatMap((file) =>
      importsOfOurs(file)
        .filter((name) => !allowed.includes(name))
        .map((name) => `${relative(ROOT, file)} imports @lineside/${name}`),
    );
    expect(wrong).toEqual([]);
  });

  it.each(Object.entries(MAY_IMPORT))('%s declares only what it may', (room, allowed) => {
    const manifest = JSON.parse(readFileSync(join(ROOT, room, 'package.json'), 'utf8'));
    const ours = Object.keys(manifest.dependencies ?? {})
      .filter((name) => name.startsWith('@lineside/'))
      .map((name) => name.slice('@lineside/'.length));
    expect(ours.filter((name) => !allowed.includes(name))).toEqual([]);
  });
});

describe('pure packages', () => {
  it.each(PURE)('%s touch neither clock nor chance nor the outside', (room) => {
    const wrong = filesBelow(join(ROOT, room, 'src'), /\.ts$/).flatMap((file) => {
      const text = readFileSync(file, 'utf8');
      return NOT_IN_PURE_CODE.filter((pattern) => pattern.test(text)).map(
        (pattern) => `${relative(ROOT, file)} has ${pattern.source}`,
      );
    });
    expect(wrong).toEqual([]);
  });
});
