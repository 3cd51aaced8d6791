/** InfluxDB goes away in every way it can while a fleet goes on sending. */
import { afterAll, beforeAll, expect, it } from 'vitest';
import { describeOnEngine } from './on-engine.ts';
import { outAndBack } from './out-and-back.ts';
import { OutageWorld } from './outage-world.ts';
import type { ServerContainer } from './server-container.ts';
import { expectAllStored, SENDING, untilUsual } from './steady-sending.ts';

type Fault = (server: ServerContainer) => Promise<void>;

describeOnEngine('a fleet that sends 300 messages a second while InfluxDB', () => {
  let world: OutageWorld;
  let usualMib = 0;
  beforeAll(async () => {
    world = await OutageWorld.start({ ...SENDING, broker: 'embedded' });
    usualMib = await untilUsual(world);
  });
  afterAll(() => world?.dispose());

  it.each<[string, Fault, Fault]>([
    ['stopped and started', (it) => it.stop(), (it) => it.start()],
    ['killed and started', (it) => it.kill(), (it) => it.start()],
    ['paused and resumed', (it) => it.pause(), (it) => it.resume()],
    ['cut off and connected again', (it) => it.cut(), (it) => it.mend()],
  ])('is %s gets no answer, and then every one', async (_name, begin, end) => {
    await outAndBack(world, {
      part: 'telemetry',
      begin: () => begin(world.influx),
      end: () => end(world.influx),
    });
  });

  it('is back has lost nothing, doubled nothing and taken no more memory', async () => {
    await expectAllStored(world, usualMib);
    // Those that heard nothing for long have connected again and sent again.
    expect(world.load.resent).toBeGreaterThan(SENDING.units);
  });
});
