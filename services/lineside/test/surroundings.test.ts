import { Writable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { daysUntilFull } from '../src/serve/disk-watch.ts';
import { Repetitions, serverLog } from '../src/serve/server-log.ts';

const HOUR_MS = 3_600_000;
const GIB = 1024 ** 3;

describe('days until the disk is full', () => {
  it('follow from the rate of the looks', () => {
    const looks = [
      { atMs: 0, freeBytes: 12 * GIB },
      { atMs: 24 * HOUR_MS, freeBytes: 10 * GIB },
    ];
    expect(daysUntilFull(looks)).toBeCloseTo(5, 9);
  });

  it('are not told by a few hours, and are without end while space grows', () => {
    const first = { atMs: 0, freeBytes: GIB };
    expect(daysUntilFull([])).toBe(null);
    expect(daysUntilFull([first, { atMs: 5 * HOUR_MS, freeBytes: 0 }])).toBe(null);
    expect(daysUntilFull([first, { atMs: 7 * HOUR_MS, freeBytes: 2 * GIB }])).toBe(Infinity);
  });
});

describe('what repeats in the log', () => {
  it('comes ten times at once, then once a second, and says how much was left out', () => {
    const repetitions = new Repetitions();
    const said = Array.from({ length: 1_000 }, () => repetitions.say('full', 0));
    expect(said.filter((unsaid) => unsaid !== null)).toHaveLength(10);
    expect(repetitions.say('other', 0)).toBe(0);
    expect(repetitions.say('full', 999)).toBe(null);
    expect(repetitions.say('full', 1_000)).toBe(991);
    expect(repetitions.say('full', 1_001)).toBe(null);
  });

  it('keeps no more wordings than it is allowed', () => {
    const repetitions = new Repetitions();
    for (let i = 0; i < 10_000; i++) expect(repetitions.say(`wording ${i}`, 0)).toBe(0);
  });

  it('leaves lines below warn as they are, and keeps part and error of the others', () => {
    const lines: Record<string, unknown>[] = [];
    const destination = new Writable({
      write(chunk, _encoding, done) {
        lines.push(JSON.parse(String(chunk)));
        done();
      },
    });
    const log = serverLog('info', destination).child({ part: 'ingest' });
    for (let i = 0; i < 50; i++) log.info({ i }, 'handed over');
    for (let i = 0; i < 50; i++) log.error({ err: new Error('full'), i }, 'refused');
    log.warn('alone');
    serverLog('info', destination).warn('of the start');
    expect(lines.filter(({ msg }) => msg === 'handed over')).toHaveLength(50);
    const refused = lines.filter(({ msg }) => msg === 'refused');
    expect(refused).toHaveLength(10);
    expect(refused[0]).toMatchObject({ part: 'ingest', i: 0, err: { message: 'full' } });
    expect(lines.at(-2)).toMatchObject({ level: 40, part: 'ingest', msg: 'alone' });
    expect(lines.at(-1)).toMatchObject({ level: 40, part: 'house', msg: 'of the start' });
  });
});
