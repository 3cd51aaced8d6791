import { afterEach, describe, expect, it } from 'vitest';
import { fleetScenario, type PublishProgress, startSimulator } from '../src/index.ts';
import { fleetOf } from './small-world.ts';
import { eventually, startTestBroker, type TestBroker } from './test-broker.ts';

const FLEET = fleetOf(`sites:
  - id: pier
    units:
      - { id: rtu-01, supply: { volts: 480 } }
`);
const CREDENTIALS = {
  'pier/rtu-01': { username: 'pier/rtu-01', password: 'one' },
  'pier/weather': { username: 'pier/weather', password: 'two' },
};

let broker: TestBroker | null = null;

afterEach(async () => {
  await broker?.close();
  broker = null;
});

/** Starting a thread from TypeScript takes a second or two on a busy machine. */
const THREAD = { timeout: 30_000 };

describe('the simulator in its thread', THREAD, () => {
  it('plays history and live, reports progress and ends when asked', async () => {
    broker = await startTestBroker();
    const { packs, url } = broker;
    const nowMs = Date.now();
    const progress: PublishProgress[] = [];
    const simulator = startSimulator({
      mqttUrl: url,
      credentials: CREDENTIALS,
      seed: 1,
      fleet: FLEET,
      scenario: fleetScenario({ fleet: FLEET, seed: 1, nowMs, historyDays: 1 }),
      historyFromMs: nowMs - 3_600_000,
      liveIntervalMs: 1000,
      live: true,
      onProgress: (step) => progress.push(step),
    });
    const newest = (): number =>
      Math.max(
        0,
        ...packs
          .filter(({ unit }) => unit === 'rtu-01')
          .flatMap(({ decoded }) => decoded.readings.map(({ atMs }) => atMs)),
      );
    await eventually(() => newest() > nowMs + 1000, 25_000);
    expect(progress.some(({ unit, done }) => unit === 'rtu-01' && done)).toBe(true);
    const stoppedAtMs = Date.now();
    await simulator.stop();
    expect(Date.now() - stoppedAtMs).toBeLessThan(2500);
  });

  it('tells its parent why it failed', async () => {
    broker = await startTestBroker({ refuses: () => true });
    const nowMs = Date.now();
    const simulator = startSimulator({
      mqttUrl: broker.url,
      credentials: CREDENTIALS,
      seed: 1,
      fleet: FLEET,
      scenario: fleetScenario({ fleet: FLEET, seed: 1, nowMs, historyDays: 1 }),
      historyFromMs: nowMs - 3_600_000,
      liveIntervalMs: 1000,
      live: false,
    });
    await expect(simulator.ended).rejects.toThrow(/refused the sign-in/);
  });
});
