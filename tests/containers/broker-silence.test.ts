/** Mosquitto neither answers nor ends its connections while a fleet goes on sending. */
import { afterAll, beforeAll, expect, it } from 'vitest';
import { describeOnEngine } from './on-engine.ts';
import { outAndBack } from './out-and-back.ts';
import { OutageWorld } from './outage-world.ts';
import { expectAllStored, SENDING, untilUsual } from './steady-sending.ts';

describeOnEngine('a fleet that sends 300 messages a second while Mosquitto', () => {
  let world: OutageWorld;
  let usualMib = 0;
  beforeAll(async () => {
    world = await OutageWorld.start({ ...SENDING, broker: 'outside' });
    usualMib = await untilUsual(world);
  });
  afterAll(() => world?.dispose());

  it('is paused and resumed gets no answer, and then every one', async () => {
    await outAndBack(world, {
      part: 'broker',
      begin: async () => world.mosquitto?.pause(),
      end: async () => world.mosquitto?.resume(),
    });
  });

  it('is cut off and connected again gets no answer, and then every one', async () => {
    await outAndBack(world, {
      part: 'broker',
      begin: async () => world.mosquitto?.cut(),
      end: async () => world.mosquitto?.mend(),
    });
  });

  it('is back has lost nothing, doubled nothing and taken no more memory', async () => {
    await expectAllStored(world, usualMib);
    expect(world.load.resent).toBeGreaterThan(SENDING.units);
  });
});
