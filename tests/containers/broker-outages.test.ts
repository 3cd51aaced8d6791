/** Mosquitto ends, and the database behind it, while a fleet goes on sending. */
import { afterAll, beforeAll, it } from 'vitest';
import { describeOnEngine } from './on-engine.ts';
import { outAndBack } from './out-and-back.ts';
import { OutageWorld } from './outage-world.ts';
import type { ServerContainer } from './server-container.ts';
import { expectAllStored, SENDING, untilUsual } from './steady-sending.ts';

/**
 * Mosquitto as we configure it writes what it has once a second, and killed it loses what came
 * since; a busy machine makes the second longer.
 */
const LOST_BEFORE_A_KILL_MS = 5_000;
const MOST_LOST = (SENDING.units * LOST_BEFORE_A_KILL_MS) / SENDING.everyMs;

describeOnEngine('a fleet that sends 300 messages a second while Mosquitto', () => {
  let world: OutageWorld;
  let mosquitto: ServerContainer;
  let usualMib = 0;
  let killedAtMs = Infinity;
  beforeAll(async () => {
    world = await OutageWorld.start({ ...SENDING, broker: 'outside' });
    mosquitto = world.mosquitto!;
    usualMib = await untilUsual(world);
  });
  afterAll(() => world?.dispose());

  it('is stopped and started gets no answer, and then every one', async () => {
    await outAndBack(world, {
      part: 'broker',
      begin: () => mosquitto.stop(),
      end: () => mosquitto.start(),
    });
  });

  it('has a database behind it that is paused and resumed is answered, and all is kept', async () => {
    await outAndBack(world, {
      part: 'telemetry',
      begin: () => world.influx.pause(),
      end: () => world.influx.resume(),
    });
  });

  it('is killed and started gets no answer meanwhile', async () => {
    await outAndBack(world, {
      part: 'broker',
      begin: async () => {
        await mosquitto.kill();
        killedAtMs = Date.now();
      },
      end: () => mosquitto.start(),
      mostLost: MOST_LOST,
    });
  });

  it('is back has lost at most what came just before the kill, and doubled nothing', async () => {
    const isJustBefore = (atMs: number): boolean =>
      atMs <= killedAtMs && atMs > killedAtMs - LOST_BEFORE_A_KILL_MS;
    await expectAllStored(world, usualMib, isJustBefore);
  });
});
