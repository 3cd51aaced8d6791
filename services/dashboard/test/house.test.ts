import { describe, expect, it } from 'vitest';
import type { Health } from '../src/api/types.ts';
import { houseTrouble } from '../src/words/house.ts';

const OK = { state: 'ok', reason: null } as const;
const WELL: Health = {
  state: 'ok',
  ingest: OK,
  alerting: OK,
  broker: OK,
  telemetry: OK,
  records: OK,
  pending: 0,
};

const down = (reason: string) => ({ state: 'down', reason }) as const;
const degraded = (reason: string) => ({ state: 'degraded', reason }) as const;

describe('what the screen says of Lineside itself', () => {
  it('is nothing while all parts are well', () => {
    expect(houseTrouble(WELL)).toBeNull();
  });

  it('is that nothing is watched while ingest is away, once, with the reason', () => {
    const trouble = houseTrouble({
      ...WELL,
      state: 'down',
      ingest: down('no answer within 2 s'),
      telemetry: degraded('only ingest can tell: no answer within 2 s'),
      pending: null,
    });
    expect(trouble?.isWatching).toBe(false);
    expect(trouble?.sentences).toHaveLength(1);
    expect(trouble?.sentences[0]).toMatch(/^Nothing is watched now/);
    expect(trouble?.details).toEqual(['ingest: no answer within 2 s']);
  });

  it.each(['broker', 'telemetry', 'records'] as const)(
    'is that nothing is watched while %s is down',
    (part) => {
      const trouble = houseTrouble({ ...WELL, state: 'down', [part]: down('away') });
      expect(trouble).toMatchObject({ isWatching: false, details: [`${part}: away`] });
      expect(trouble?.sentences[0]).toMatch(/^Nothing is watched now/);
    },
  );

  it('is that nobody is paged while alerting is away, and readings are still watched', () => {
    const trouble = houseTrouble({ ...WELL, state: 'down', alerting: down('no answer') });
    expect(trouble?.isWatching).toBe(true);
    expect(trouble?.sentences[0]).toMatch(/^Nobody is paged now/);
  });

  it('leaves what works and wants seeing to for who runs it', () => {
    const trouble = houseTrouble({ ...WELL, records: degraded('only 23 MiB are free') });
    expect(trouble).toEqual({
      isWatching: true,
      sentences: [],
      details: ['records: only 23 MiB are free'],
    });
  });
});
