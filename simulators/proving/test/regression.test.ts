import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type FixedSetFigures, judgeFixedSet, RECORDED_FILE, whatGotWorse } from '../src/index.ts';

/** Eleven seconds of one core; five times that was seen on a machine with much else to do. */
const TIMEOUT_MS = 300_000;

describe('the fixed set', () => {
  it('is judged no worse than recorded', { timeout: TIMEOUT_MS }, () => {
    const recorded: FixedSetFigures = JSON.parse(readFileSync(RECORDED_FILE, 'utf8'));
    expect(whatGotWorse(judgeFixedSet(), recorded)).toEqual([]);
  });
});

describe('what got worse', () => {
  const recorded: FixedSetFigures = { atLeast: { seen: 3 }, atMost: { wrong: 1 } };

  it('is nothing when all is as recorded or better', () => {
    expect(whatGotWorse(recorded, recorded)).toEqual([]);
    expect(whatGotWorse({ atLeast: { seen: 4 }, atMost: { wrong: 0 } }, recorded)).toEqual([]);
  });

  it('says what, how much, and how to record it on purpose', () => {
    expect(whatGotWorse({ atLeast: { seen: 2 }, atMost: { wrong: 2 } }, recorded)).toEqual([
      'seen: 2, it was 3',
      'wrong: 2, it was 1',
      expect.stringContaining('npm run bench -- record-warning'),
    ]);
  });

  it('does not let a figure vanish', () => {
    expect(whatGotWorse({ atLeast: {}, atMost: {} }, recorded)[0]).toBe('seen: 0, it was 3');
  });
});
