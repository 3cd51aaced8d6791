import { expect } from 'vitest';
import { eventually } from '../end-to-end/eventually.ts';
import type { OutageWorld } from './outage-world.ts';

/** 300 messages a second from nodes whose patience is shorter than an outage. */
export const SENDING = { units: 60, everyMs: 200, patienceMs: 3_000 } as const;

/** Node's heap grows by tens of MiB before it is swept, whatever happens. */
const MOST_GROWTH_MIB = 100;
const USUAL_AFTER = 10 * SENDING.units;
const USUAL_WITHIN_MS = 60_000;

/** Until readings flow; gives the memory that this takes, MiB. */
export async function untilUsual(world: OutageWorld): Promise<number> {
  await eventually(
    () => world.stored(),
    (count) => count >= USUAL_AFTER,
    { withinMs: USUAL_WITHIN_MS },
  );
  return world.memory.take();
}

/** Ends the sending: each reading is stored once, with its value, apart from those of `mayLose`. */
export async function expectAllStored(
  world: OutageWorld,
  usualMib: number,
  mayLose: (atMs: number) => boolean = () => false,
): Promise<void> {
  await world.settle();
  expect(world.memory.take()).toBeLessThan(usualMib + MOST_GROWTH_MIB);
  const { made, lostAtMs, faults } = await world.load.check(world.server.http, world.office);
  expect(faults).toEqual([]);
  expect(lostAtMs.filter((atMs) => !mayLose(atMs))).toEqual([]);
  expect(made).toBeGreaterThan(USUAL_AFTER);
  expect(world.load.acknowledged).toBe(made);
}
