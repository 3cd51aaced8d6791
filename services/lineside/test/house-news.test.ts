import { describe, expect, it } from 'vitest';
import { FarPulse } from '../src/house/mqtt/far-pulse.ts';
import { NEWS_KINDS, type NewsKind } from '../src/house/mqtt/news.ts';
import { NewsCount } from '../src/house/mqtt/news-count.ts';

const MINUTE_MS = 60_000;

function counting(kinds: readonly NewsKind[] = NEWS_KINDS) {
  const seen = { missed: 0, runs: 0 };
  const count = new NewsCount(kinds, {
    onMissed: () => {
      seen.missed += 1;
    },
    onNewRun: () => {
      seen.runs += 1;
    },
  });
  return { count, seen };
}

describe('news of ingest', () => {
  it('are complete when their numbers follow each other, each kind by itself', () => {
    const { count, seen } = counting();
    count.news('readings', { run: 'a', sequence: 7 });
    count.news('conditions', { run: 'a', sequence: 3 });
    count.news('readings', { run: 'a', sequence: 8 });
    count.beat({ run: 'a', serves: true, told: { readings: 8, conditions: 3 } });
    count.news('conditions', { run: 'a', sequence: 4 });
    expect(seen).toEqual({ missed: 2, runs: 2 });
  });

  it('are missed when a number is left out', () => {
    const { count, seen } = counting();
    count.news('readings', { run: 'a', sequence: 7 });
    count.news('readings', { run: 'a', sequence: 9 });
    expect(seen.missed).toBe(2);
  });

  it('are missed as well when the last ones got lost and a heartbeat counts them', () => {
    const { count, seen } = counting();
    count.news('readings', { run: 'a', sequence: 7 });
    count.beat({ run: 'a', serves: true, told: { readings: 7, conditions: 0 } });
    expect(seen.missed).toBe(2);
    count.beat({ run: 'a', serves: true, told: { readings: 8, conditions: 0 } });
    expect(seen.missed).toBe(3);
    count.beat({ run: 'a', serves: true, told: { readings: 8, conditions: 0 } });
    expect(seen.missed).toBe(3);
  });

  it('are not missed by who does not hear their kind', () => {
    const { count, seen } = counting(['readings']);
    count.beat({ run: 'a', serves: true, told: { readings: 1, conditions: 1 } });
    count.beat({ run: 'a', serves: true, told: { readings: 1, conditions: 90 } });
    expect(seen.missed).toBe(2);
  });

  it('were missed by everybody while ingest started, as its first heartbeat after it says', () => {
    const { count, seen } = counting();
    const told = { readings: 0, conditions: 0 };
    count.beat({ run: 'a', serves: false, told });
    count.beat({ run: 'a', serves: false, told });
    expect(seen).toEqual({ missed: 1, runs: 1 });
    count.beat({ run: 'a', serves: true, told });
    expect(seen).toEqual({ missed: 2, runs: 2 });
    count.beat({ run: 'a', serves: true, told });
    expect(seen).toEqual({ missed: 2, runs: 2 });
  });

  it('begin anew with each life of ingest, whose stores may have changed', () => {
    const { count, seen } = counting();
    count.news('readings', { run: 'a', sequence: 7 });
    count.news('readings', { run: 'b', sequence: 1 });
    count.news('readings', { run: 'b', sequence: 2 });
    expect(seen).toEqual({ missed: 2, runs: 2 });
  });

  it('are all missed while the broker was away', () => {
    const { count, seen } = counting();
    count.news('readings', { run: 'a', sequence: 7 });
    count.forget();
    count.news('readings', { run: 'a', sequence: 90 });
    expect(seen.missed).toBe(2);
  });
});

describe('the heartbeat of an ingest in another process', () => {
  const pulse = {
    commitAgeMs: 40,
    waitingBytes: 0,
    lastCommitAtMs: 1,
    judgingAgeMs: 50,
    waitingReadings: 0,
  };
  function heard() {
    const time = { nowMs: 1000 };
    const far = new FarPulse(() => time.nowMs);
    return { time, far };
  }

  it('is young while it is heard', () => {
    const { time, far } = heard();
    far.heard({ serves: true, pulse });
    time.nowMs += 5000;
    expect(far.now()).toEqual(pulse);
  });

  it('grows old when it stays out, also when it was never heard', () => {
    const { time, far } = heard();
    time.nowMs += 3 * MINUTE_MS;
    expect(far.now().commitAgeMs).toBe(3 * MINUTE_MS);
    far.heard({ serves: true, pulse });
    expect(far.now()).toEqual(pulse);
    time.nowMs += 2 * MINUTE_MS;
    expect(far.now().commitAgeMs).toBe(2 * MINUTE_MS + 40);
  });

  it('may take a quarter of an hour for a start, not more', () => {
    const { time, far } = heard();
    for (let minute = 0; minute <= 15; minute++) {
      far.heard({ serves: false, pulse });
      expect(far.now().commitAgeMs).toBe(40);
      time.nowMs += MINUTE_MS;
      far.heard({ serves: false, pulse });
    }
    expect(far.now().commitAgeMs).toBeGreaterThan(15 * MINUTE_MS);
    far.heard({ serves: true, pulse });
    expect(far.now().commitAgeMs).toBe(40);
  });
});
