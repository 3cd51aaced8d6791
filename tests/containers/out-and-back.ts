import { setTimeout as wait } from 'node:timers/promises';
import { expect } from 'vitest';
import { eventually } from '../end-to-end/eventually.ts';
import type { OutageWorld } from './outage-world.ts';

/** A hanging write is given up after 8 s, a silent broker after 15. */
const DOWN_WITHIN_MS = 40_000;
/** What was acknowledged before may still be on its way to the nodes. */
const UNDER_WAY_MS = 500;
const SILENCE_MS = 1_000;
const BACK_WITHIN_MS = 60_000;

export interface Outage {
  readonly part: 'broker' | 'telemetry';
  begin(): Promise<void>;
  end(): Promise<void>;
  /** Readings that the part may have lost by now; default none. */
  readonly mostLost?: number;
}

/**
 * One outage: health names the part that is down, and nodes are acknowledged nothing that is not
 * kept; afterwards all is well and what was held back is stored.
 */
export async function outAndBack(world: OutageWorld, outage: Outage): Promise<void> {
  const { part, begin, end, mostLost = 0 } = outage;
  const { load } = world;
  await begin();
  const health = await eventually(
    () => world.health(),
    (now) => now[part].state === 'down',
    { withinMs: DOWN_WITHIN_MS },
  );
  expect(health.state).toBe('down');
  expect(health[part].reason).toContain(part === 'broker' ? 'mqtt://' : 'InfluxDB at');
  await wait(UNDER_WAY_MS);
  const { acknowledged } = load;
  await wait(SILENCE_MS);
  // A broker of its own keeps what it acknowledges while the database is out.
  if (part === 'telemetry' && world.mosquitto !== null) {
    expect(load.acknowledged).toBeGreaterThan(acknowledged);
  } else {
    expect(load.acknowledged).toBe(acknowledged);
  }
  const madeMeanwhile = load.made;
  await end();
  await eventually(
    () => world.stored(),
    (count) => count >= madeMeanwhile - mostLost,
    { withinMs: BACK_WITHIN_MS, everyMs: 500 },
  );
  await eventually(
    () => world.health(),
    ({ state }) => state === 'ok',
    { withinMs: BACK_WITHIN_MS },
  );
}
