import { describe, expect, it } from 'vitest';
import {
  afterFarewell,
  BEATING_PARTS,
  DEFAULT_BYSTANDER_LIMITS as LIMITS,
  newBystander,
  type Telling,
  tellingWords,
} from '../src/bystander/index.ts';
import { BystanderLife, beatsOf, MINUTE_MS, SECOND_MS, START_MS } from './bystander-life.ts';

const HOUR_MS = 60 * MINUTE_MS;

describe('the bystander', () => {
  it('says nothing while everything beats', () => {
    const life = new BystanderLife();
    life.beatFor(3 * HOUR_MS, beatsOf(0));
    expect(life.tellings).toEqual([]);
    expect(life.isAllWell()).toBe(true);
  });

  it('tells of a crash after the grace time, and again each hour, under one key', () => {
    const life = new BystanderLife();
    life.beatFor(MINUTE_MS, beatsOf(0));
    life.hear({ kind: 'closed' });
    const crashedAtMs = life.nowMs;
    life.quietFor(LIMITS.graceMs - SECOND_MS);
    expect(life.tellings).toEqual([]);
    life.quietFor(SECOND_MS);
    expect(life.tellings).toMatchObject([
      { part: 'server', news: 'stopped', revision: 1, sinceMs: crashedAtMs, hasEnded: true },
    ]);
    life.quietFor(2 * HOUR_MS);
    expect(life.tellings.map(({ revision }) => revision)).toEqual([1, 2, 3]);
    expect(new Set(life.tellings.map(({ key }) => key)).size).toBe(1);
    expect(life.tellings[0]?.key).toMatch(/^[a-z0-9-]{1,32}$/);
  });

  it('tells of a server that is there and not heard, and of none of its parts', () => {
    const life = new BystanderLife();
    life.beatFor(MINUTE_MS, beatsOf(0));
    life.quietFor(LIMITS.stoppedAfterMs.server + MINUTE_MS);
    expect(life.tellings).toMatchObject([{ part: 'server', hasEnded: false }]);
  });

  it.each(BEATING_PARTS)('tells when %s goes on no more', (part) => {
    const life = new BystanderLife();
    life.beatFor(MINUTE_MS, beatsOf(0));
    const stuckAtMs = life.nowMs;
    life.beatFor(LIMITS.stoppedAfterMs[part] + 10 * SECOND_MS, (nowMs) =>
      beatsOf(0, { part, ageMs: nowMs - stuckAtMs, waiting: 321 }),
    );
    expect(life.tellings).toMatchObject([{ part, news: 'stopped', waiting: 321 }]);
    expect(life.tellings[0]?.sinceMs).toBe(stuckAtMs);
    expect(life.isAllWell()).toBe(false);
    life.beatFor(LIMITS.settledForMs + 10 * SECOND_MS, beatsOf(0));
    expect(life.tellings.slice(1)).toMatchObject([{ part, news: 'works-again', revision: 2 }]);
    expect(life.isAllWell()).toBe(true);
  });

  it('leaves a server that starts again in time untold', () => {
    const life = new BystanderLife();
    life.beatFor(MINUTE_MS, beatsOf(0));
    life.hear({ kind: 'closed' });
    life.quietFor(5 * SECOND_MS);
    life.handOver();
    life.beatFor(HOUR_MS, beatsOf(0));
    expect(life.tellings).toEqual([]);
  });

  it('tells of a server that keeps ending, although each life is short of the grace time', () => {
    const life = new BystanderLife();
    for (let crash = 0; crash < 6; crash += 1) {
      life.beatFor(20 * SECOND_MS, beatsOf(0));
      life.hear({ kind: 'closed' });
      life.quietFor(5 * SECOND_MS);
      life.handOver();
    }
    expect(life.tellings).toMatchObject([{ part: 'server', news: 'stopped', revision: 1 }]);
    life.beatFor(2 * MINUTE_MS, beatsOf(0));
    expect(life.tellings.slice(1)).toMatchObject([{ part: 'server', news: 'works-again' }]);
  });

  it('says under the same key that a server works again, by the one that took over', () => {
    const life = new BystanderLife();
    life.beatFor(MINUTE_MS, beatsOf(0));
    life.hear({ kind: 'closed' });
    life.quietFor(10 * MINUTE_MS);
    life.handOver();
    life.beatFor(10 * MINUTE_MS, beatsOf(0));
    expect(life.tellings.map(({ news }) => news)).toEqual(['stopped', 'works-again']);
    expect(life.tellings[1]?.key).toBe(life.tellings[0]?.key);
  });

  it('gives a start its time, and tells of one that does not come up', () => {
    const life = new BystanderLife();
    life.beatFor(LIMITS.startWithinMs - SECOND_MS, []);
    expect(life.tellings).toEqual([]);
    life.beatFor(10 * SECOND_MS, []);
    expect(life.tellings).toMatchObject([{ part: 'server', hasEnded: false }]);
  });

  it('does not hold its own sleep against others', () => {
    const life = new BystanderLife();
    life.beatFor(MINUTE_MS, beatsOf(0));
    life.nowMs += 8 * HOUR_MS;
    life.hear({ kind: 'beats', beats: beatsOf(8 * HOUR_MS) });
    life.beatFor(10 * MINUTE_MS, beatsOf(0));
    expect(life.tellings).toEqual([]);
  });

  it('forgets at a farewell what nobody heard of, and keeps what was told', () => {
    const life = new BystanderLife();
    life.beatFor(MINUTE_MS, beatsOf(0));
    life.hear({ kind: 'closed' });
    expect(life.state.parts.server.brokenSinceMs).not.toBeNull();
    expect(afterFarewell(life.state)).toEqual(newBystander(START_MS).parts);
    life.quietFor(2 * MINUTE_MS);
    expect(afterFarewell(life.state).server.timesTold).toBe(1);
  });
});

describe('what is told', () => {
  const telling: Telling = {
    part: 'server',
    news: 'stopped',
    key: 'stopped-server-x',
    revision: 1,
    sinceMs: Date.UTC(2026, 0, 10, 3, 12),
    atMs: Date.UTC(2026, 0, 10, 3, 14),
    waiting: null,
    hasEnded: true,
  };

  it('says what stopped, since when and what to do, short enough for a lock screen', () => {
    expect(tellingWords(telling, 'http://roofs.example')).toEqual({
      title: 'Lineside has stopped: nobody is alarmed',
      body:
        'It ended without being told to, since 2026-01-10 03:12 UTC (2 min). ' +
        'No alarm reaches anybody: start it again. http://roofs.example',
    });
  });

  it('says how much waits for a part', () => {
    const { body } = tellingWords({ ...telling, part: 'judging', waiting: 1200 }, 'here');
    expect(body).toContain('1200 readings wait to be judged');
  });

  it('says where to look when no page gets through', () => {
    const words = tellingWords({ ...telling, part: 'delivery', waiting: 3 }, 'here');
    expect(words.title).toBe('No page gets through to anybody');
    expect(words.body).toContain('3 pages wait to be handed over. Look at mail server');
  });

  it('says when it works again', () => {
    const words = tellingWords({ ...telling, part: 'paging', news: 'works-again' }, 'here');
    expect(words.title).toBe('Lineside sends pages again');
    expect(words.body).toContain('It had stopped since 2026-01-10 03:12 UTC');
  });
});
