import type { ContactPoint, StoredRota } from '@lineside/storage';
import { describe, expect, it } from 'vitest';
import { createWhomToTell } from '../src/bystander/whom-to-tell.ts';

const NOW_MS = Date.UTC(2026, 0, 14, 12);

const ROTA: StoredRota = {
  generation: 1,
  document: {
    people: [
      { id: 'ana', name: 'Ana', contacts: ['ana-phone'] },
      { id: 'ben', name: 'Ben', contacts: ['ben-phone'] },
    ],
    office: { name: 'Desk', contacts: ['desk'] },
    teams: [
      {
        id: 'harbour',
        name: 'Harbour crew',
        zone: 'UTC',
        takesOtherSites: true,
        first: [
          {
            from: '2026-01-12',
            handOver: { weekday: 'monday', time: '08:00' },
            people: ['ana', 'ben'],
          },
        ],
      },
    ],
  },
};

function point(id: string, person: string | null, channel: ContactPoint['channel'] = 'webhook') {
  return { id, person, channel, name: id, address: id, createdAtMs: 0, origin: 'file' as const };
}

const ALL = [point('ana-phone', 'ana'), point('ben-phone', 'ben'), point('desk', null)];

function told(contacts: readonly ContactPoint[], rota: StoredRota | null, nowMs = NOW_MS) {
  const whomToTell = createWhomToTell(
    {
      loadRota: async () => rota,
      contactPoints: async () => contacts,
      unitHoldsAt: async () => [],
    },
    (kind) => kind === 'webhook',
    { warn: () => {}, error: () => {} },
  );
  return whomToTell(nowMs).then((points) => points.map(({ id }) => id));
}

describe('whom a stop is told', () => {
  it('is the office and whoever is on call at that time', async () => {
    expect(await told(ALL, ROTA)).toEqual(['ana-phone', 'desk']);
    const weekLaterMs = NOW_MS + 7 * 86_400_000;
    expect(await told(ALL, ROTA, weekLaterMs)).toEqual(['ben-phone', 'desk']);
  });

  it('is the office alone without a rota', async () => {
    expect(await told(ALL, null)).toEqual(['desk']);
  });

  it('is everybody when neither can be reached', async () => {
    expect(await told([point('ben-phone', 'ben')], ROTA)).toEqual(['ben-phone']);
  });

  it('is nobody by a channel that is not set up', async () => {
    expect(await told([point('mail', null, 'e-mail'), ...ALL], null)).toEqual(['desk']);
  });

  it('is at most fifty contact points', async () => {
    const many = Array.from({ length: 60 }, (_, index) => point(`desk-${index}`, null));
    expect(await told(many, null)).toHaveLength(50);
  });
});
