import { afterEach, describe, expect, it } from 'vitest';
import {
  createWorld,
  healthyScript,
  type PublishFleetOptions,
  type PublishProgress,
  publishFleet,
  type Scenario,
  type ServiceRecord,
  type UnitScript,
  type World,
} from '../src/index.ts';
import { DAY_MS, fleetOf, HOUR_MS, MINUTE_MS, START_MS } from './small-world.ts';
import { eventually, startTestBroker, type TestBroker } from './test-broker.ts';

const FLEET = fleetOf(`sites:
  - id: pier
    units:
      - { id: rtu-01, supply: { volts: 480 } }
      - { id: rtu-02, supply: { volts: 208 }, node: { supply: unit-24v } }
`);
const NOW_MS = START_MS + DAY_MS;

function worldOf(scripts: readonly UnitScript[] = []): World {
  const scenario: Scenario = {
    nowMs: NOW_MS,
    startMs: START_MS,
    seasonDayAtNow: 25,
    climates: {},
    storms: [],
    units: scripts,
  };
  return createWorld({ seed: 1, fleet: FLEET, scenario, startMs: START_MS });
}

const brokers: TestBroker[] = [];
const stops: AbortController[] = [];

async function broker(options = {}): Promise<TestBroker> {
  const started = await startTestBroker(options);
  brokers.push(started);
  return started;
}

afterEach(async () => {
  for (const stop of stops.splice(0)) stop.abort();
  await Promise.all(brokers.splice(0).map((started) => started.close()));
});

function publish(
  mqttUrl: string,
  options: Partial<PublishFleetOptions> = {},
): { ended: Promise<void>; stop: AbortController } {
  const stop = new AbortController();
  stops.push(stop);
  const ended = publishFleet({
    mqttUrl,
    credentials: (site, unit) => ({ username: `${site}/${unit}`, password: `secret of ${unit}` }),
    world: worldOf(),
    historyFromMs: START_MS,
    nowMs: () => NOW_MS,
    signal: stop.signal,
    live: false,
    ...options,
  });
  return { ended, stop };
}

function timesOf(started: TestBroker, unit: string): number[] {
  return started.packs
    .filter((pack) => pack.unit === unit)
    .flatMap(({ decoded }) => decoded.readings.map(({ atMs }) => atMs));
}

function ascending(times: readonly number[]): boolean {
  return times.every((time, index) => index === 0 || time > times[index - 1]!);
}

describe('publishing a history', () => {
  it('sends every minute of every unit oldest first, each node with its own sign-in', async () => {
    const started = await broker();
    const progress: PublishProgress[] = [];
    await publish(started.url, { onProgress: (step) => progress.push(step) }).ended;
    for (const unit of ['rtu-01', 'rtu-02']) {
      const times = timesOf(started, unit);
      expect(times.length).toBeGreaterThanOrEqual(1438);
      expect(ascending(times)).toBe(true);
      expect(new Set(times.map((time) => time % MINUTE_MS)).size).toBe(1);
    }
    expect(timesOf(started, 'weather')).toHaveLength(288);
    expect(started.packs.every(({ decoded }) => decoded.refusal === null)).toBe(true);
    expect([...started.signIns].sort()).toEqual([
      'pier/rtu-01 secret of rtu-01',
      'pier/rtu-02 secret of rtu-02',
      'pier/weather secret of weather',
    ]);
    const done = progress.filter((step) => step.done);
    expect(done.map(({ unit }) => unit).sort()).toEqual(['rtu-01', 'rtu-02']);
    expect(done[0]!.sentThroughMs).toBe(Math.max(...timesOf(started, done[0]!.unit)));
  });

  it('lets the weather of a time arrive before the readings of that time', async () => {
    const started = await broker();
    await publish(started.url).ended;
    let weatherThroughMs = 0;
    for (const { unit, decoded } of started.packs) {
      const lastMs = decoded.readings.at(-1)!.atMs;
      if (unit === 'weather') weatherThroughMs = lastMs;
      else expect(lastMs).toBeLessThan(weatherThroughMs + 6 * MINUTE_MS);
    }
  });

  it('moves the fleet forward together', async () => {
    const started = await broker();
    await publish(started.url).ended;
    const throughMs = new Map<string, number>();
    for (const { unit, decoded } of started.packs) {
      throughMs.set(unit, decoded.readings.at(-1)!.atMs);
      if (throughMs.size < 3) continue;
      const spread = Math.max(...throughMs.values()) - Math.min(...throughMs.values());
      expect(spread).toBeLessThan(9 * HOUR_MS);
    }
  });

  it('leaves out what is before the history asked for', async () => {
    const started = await broker();
    const historyFromMs = NOW_MS - 3 * HOUR_MS;
    await publish(started.url, { historyFromMs }).ended;
    expect(Math.min(...timesOf(started, 'rtu-01'))).toBeGreaterThanOrEqual(historyFromMs);
    expect(timesOf(started, 'rtu-01').length).toBeGreaterThan(175);
  });

  it('holds back what a node measured in an outage and sends it afterwards, oldest first', async () => {
    const started = await broker();
    const outage = {
      kind: 'network-outage',
      fromMs: START_MS + 5 * HOUR_MS,
      toMs: START_MS + 12 * HOUR_MS,
    } as const;
    const script = { ...healthyScript('pier', 'rtu-01'), faults: [outage] };
    await publish(started.url, { world: worldOf([script]) }).ended;
    const times = timesOf(started, 'rtu-01');
    expect(ascending(times)).toBe(true);
    expect(times.length).toBeGreaterThanOrEqual(1438);
    const late = started.packs.findIndex(
      ({ unit, decoded }) =>
        unit === 'rtu-01' && decoded.readings.some(({ atMs }) => atMs >= outage.fromMs),
    );
    const others = started.packs.slice(0, late).filter(({ unit }) => unit === 'rtu-02');
    expect(others.at(-1)!.decoded.readings.at(-1)!.atMs).toBeGreaterThan(outage.toMs - 3 * HOUR_MS);
  });

  it('repeats after lost connections what was not acknowledged, and loses nothing', async () => {
    const dropped = new Set([4, 9, 10, 23]);
    const started = await broker({ dropsAt: (count: number) => dropped.has(count) });
    await publish(started.url).ended;
    const times = timesOf(started, 'rtu-01');
    const distinct = [...new Set(times)];
    expect(distinct.length).toBeGreaterThanOrEqual(1438);
    expect(new Set(timesOf(started, 'weather')).size).toBe(288);
  }, 20_000);

  it('posts service records in order of time, before the readings that follow them', async () => {
    const started = await broker();
    const posted: ServiceRecord[] = [];
    const readingsAtPost: number[] = [];
    const visitMs = START_MS + 10 * HOUR_MS;
    const script: UnitScript = {
      ...healthyScript('pier', 'rtu-01'),
      past: [{ atMs: START_MS - DAY_MS, line: { action: 'inspection' } }],
      visits: [{ atMs: visitMs, disconnectOpenMs: 0, effects: [], lines: [{ action: 'cleaned' }] }],
    };
    await publish(started.url, {
      world: worldOf([script]),
      postService: async (record) => {
        posted.push(record);
        readingsAtPost.push(Math.max(0, ...timesOf(started, 'rtu-01')));
      },
    }).ended;
    expect(posted.map(({ line }) => line.action)).toEqual(['inspection', 'cleaned']);
    expect(readingsAtPost[1]).toBeLessThanOrEqual(visitMs);
  });

  it('says so when the broker refuses a sign-in', async () => {
    const started = await broker({ refuses: (name: string) => name === 'pier/rtu-02' });
    await expect(publish(started.url).ended).rejects.toThrow(/refused the sign-in of pier\/rtu-02/);
  });
});

describe('publishing live', () => {
  it('goes on after the history with one reading an interval, as the clock moves', async () => {
    const started = await broker();
    let nowMs = NOW_MS;
    const { ended, stop } = publish(started.url, {
      live: true,
      liveIntervalMs: 10_000,
      historyFromMs: NOW_MS - HOUR_MS,
      nowMs: () => nowMs,
    });
    await eventually(() => timesOf(started, 'rtu-01').length >= 59);
    await eventually(() => started.presence.get('pier/rtu-01') === 'online');
    nowMs += 3 * MINUTE_MS;
    await eventually(() => Math.max(...timesOf(started, 'rtu-01')) > nowMs - 10_000);
    const live = timesOf(started, 'rtu-01').filter((time) => time > NOW_MS);
    expect(live.length).toBeGreaterThanOrEqual(12);
    expect(ascending(timesOf(started, 'rtu-01'))).toBe(true);
    expect(Math.max(...timesOf(started, 'rtu-01'))).toBeLessThanOrEqual(nowMs);

    const stoppedAtMs = Date.now();
    stop.abort();
    await ended;
    expect(Date.now() - stoppedAtMs).toBeLessThan(2000);
    await eventually(() => started.presence.get('pier/rtu-01') === 'offline');
  }, 20_000);

  it('keeps what it measures while the broker is away and sends it at its return', async () => {
    const started = await broker();
    let nowMs = NOW_MS;
    publish(started.url, {
      live: true,
      historyFromMs: NOW_MS - HOUR_MS,
      nowMs: () => nowMs,
    }).ended.catch(() => undefined);
    await eventually(() => timesOf(started, 'rtu-01').length >= 59);
    started.cut();
    nowMs += 10 * MINUTE_MS;
    await eventually(() => new Set(timesOf(started, 'rtu-01')).size >= 69);
    expect(new Set(timesOf(started, 'rtu-02')).size).toBeGreaterThanOrEqual(68);
  }, 20_000);

  it('shows a node that is dead or without supply as offline', async () => {
    const started = await broker();
    const script = {
      ...healthyScript('pier', 'rtu-02'),
      faults: [{ kind: 'node-dead', fromMs: NOW_MS - HOUR_MS } as const],
    };
    publish(started.url, { live: true, world: worldOf([script]) }).ended.catch(() => undefined);
    await eventually(() => started.presence.get('pier/rtu-02') === 'offline');
    await eventually(() => started.presence.get('pier/rtu-01') === 'online');
    expect(Math.max(...timesOf(started, 'rtu-02'))).toBeLessThan(NOW_MS - HOUR_MS);
  }, 20_000);
});
