import { describe, expect, it } from 'vitest';
import { scoreUnits } from '../src/index.ts';
import { DAYS, episode, observed, wetting } from './hand-made.ts';

type Episodes = Parameters<typeof observed>[2];

function score(wettings: readonly ReturnType<typeof wetting>[], episodes: Episodes) {
  return scoreUnits([observed({ wettings }, [], episodes)]).episodes;
}

describe('episodes', () => {
  it('find a wetting when they share half of the shorter one', () => {
    expect(score([wetting(10, 8)], [episode(10 + 4 / 24, 20)]).found.hits).toBe(1);
    expect(score([wetting(10, 8)], [episode(10 + 5 / 24, 20)]).found.hits).toBe(0);
    expect(score([wetting(10, 20)], [episode(9.9, 4)]).found.hits).toBe(0);
    expect(score([wetting(10, 20)], [episode(10.1, 4)]).found.hits).toBe(1);
  });

  it('may go on at the end of the run', () => {
    const open = episode(DAYS - 1, 0, { endMs: null });
    expect(score([wetting(DAYS - 0.9, 20)], [open]).found.hits).toBe(1);
  });

  it('are asked for the source of the one that shares most', () => {
    const wettings = [wetting(10, 10, { source: 'water-ingress' })];
    const short = episode(10, 2);
    const long = episode(10.1, 7, { source: 'water-ingress' });
    expect(score(wettings, [short, long]).sourceRight).toMatchObject({ hits: 1, of: 1 });
    expect(score(wettings, [short]).sourceRight).toMatchObject({ hits: 0, of: 1 });
  });

  it('neither miss nor need a wetting of less than half an hour', () => {
    const short = wetting(10, 0.4);
    expect(score([short], []).found.of).toBe(0);
    expect(score([short], [episode(10, 2)]).falseEpisodes).toBe(0);
  });

  it('are false when they touch no wetting', () => {
    const found = score([wetting(10, 8)], [episode(9.9, 4), episode(12, 4)]);
    expect(found.falseEpisodes).toBe(1);
    expect(found.falsePerUnitYear).toBeCloseTo(1 / (DAYS / 365.25));
  });
});
