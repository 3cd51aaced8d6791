/** Habits that keep the house readable, checked on the files that git tracks. */
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';

const ROOT = join(import.meta.dirname, '..', '..');
const THIS_FILE = 'tests/house/tidiness.test.ts';
const MOST_LINES = 400;

const tracked = execFileSync('git', ['ls-files'], { cwd: ROOT, encoding: 'utf8' })
  .split('\n')
  .filter((name) => /\.(ts|tsx|mjs|css)$/.test(name) && !name.includes('/generated/'))
  .filter((name) => name !== THIS_FILE && existsSync(join(ROOT, name)));

function filesMatching(pattern: RegExp, names: readonly string[] = tracked): string[] {
  return names.filter((name) => pattern.test(readFileSync(join(ROOT, name), 'utf8')));
}

describe('the tree', () => {
  it('has no file that has outgrown one subject', () => {
    const long = tracked.filter(
      (name) => readFileSync(join(ROOT, name), 'utf8').split('\n').length > MOST_LINES + 1,
    );
    expect(long).toEqual([]);
  });

  it('has no file named after nothing', () => {
    expect(tracked.filter((name) => /(utils|helpers|misc|common)\.tsx?$/.test(name))).toEqual([]);
  });

  it('leaves no reminder for later and no lone test', () => {
    expect(filesMatching(/\b(FIXME|TODO|XXX)\b/)).toEqual([]);
    expect(filesMatching(/\b(describe|it|test)\.only\(/)).toEqual([]);
  });
});

describe('published functions', () => {
  it('of physics and statistics name their source and their errors', () => {
    const files = tracked.filter((name) => /^packages\/(physics|statistics)\/src\//.test(name));
    const bare = files.flatMap((name) => {
      const text = readFileSync(join(ROOT, name), 'utf8');
      return [...text.matchAll(/(\/\*\*(?:(?!\*\/)[\s\S])*\*\/\s*)?export function (\w+)/g)]
        .filter(([, doc]) => !/source/i.test(doc ?? '') || !/error/i.test(doc ?? ''))
        .map(([, , symbol]) => `${name}: ${symbol}`);
    });
    expect(bare).toEqual([]);
  });
});
