import type { NodeRevocation } from '@lineside/storage';
import { pino } from 'pino';
import { describe, expect, it } from 'vitest';
import { RevocationWatch } from '../src/broker/revocation-watch.ts';

function watched() {
  const revocations: NodeRevocation[] = [];
  const ended: string[] = [];
  const world = { nowMs: 100, failure: null as Error | null };
  const watch = new RevocationWatch({
    records: {
      revocationsAfter: async (sequence) => {
        if (world.failure !== null) throw world.failure;
        return revocations.filter((one) => one.sequence > sequence);
      },
    },
    log: pino({ level: 'silent' }),
    nowMs: () => world.nowMs,
    endConnections: (username, beforeMs) => ended.push(`${username} before ${beforeMs}`),
  });
  const revoke = (unit: string) => {
    revocations.push({ sequence: revocations.length + 1, site: 'mall', unit, atMs: 0 });
  };
  return { watch, world, ended, revoke };
}

describe('a watch for revocations', () => {
  it('ends what signed in before it noticed, and looks a while for sign-ins on their way', async () => {
    const { watch, world, ended, revoke } = watched();
    await watch.look();
    expect(ended).toEqual([]);
    revoke('rtu-01');
    await watch.look();
    world.nowMs = 1_100;
    revoke('rtu-02');
    await watch.look();
    expect(ended).toEqual([
      'mall/rtu-01 before 100',
      'mall/rtu-01 before 100',
      'mall/rtu-02 before 1100',
    ]);
  });

  it('forgets what was revoked long ago', async () => {
    const { watch, world, ended, revoke } = watched();
    revoke('rtu-01');
    await watch.look();
    world.nowMs += 100_000;
    await watch.look();
    await watch.look();
    expect(ended).toHaveLength(2);
  });

  it('sees later what it could not read at once', async () => {
    const { watch, world, ended, revoke } = watched();
    revoke('rtu-01');
    world.failure = new Error('disk full');
    await watch.look();
    expect(ended).toEqual([]);
    world.failure = null;
    await watch.look();
    expect(ended).toEqual(['mall/rtu-01 before 100']);
  });
});
