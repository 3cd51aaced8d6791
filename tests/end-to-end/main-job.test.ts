/** From a node's message to an alarm that a program hears: real broker, real files, real HTTP. */
import type { MqttClient } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './eventually.ts';
import { type Installation, install } from './installation.ts';
import { minutePack } from './packs.ts';

interface AlarmBody {
  readonly id: string;
  readonly kind: string;
  readonly priority: string;
  readonly state: string;
  readonly raised: string;
  readonly headline: string;
}
interface List<T> {
  readonly items: readonly T[];
}

const MINUTE_MS = 60_000;

describe('the main job', () => {
  let here: Installation;
  let node: MqttClient;
  const startMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS - 120 * MINUTE_MS;
  const telemetry = 'lineside/harbour-mall/rtu-01/telemetry';

  beforeAll(async () => {
    here = await install();
    node = await here.node('harbour-mall', 'rtu-01');
  });
  afterAll(() => here.dispose());

  const nothingPending = () =>
    eventually(
      async () =>
        (await (await fetch(`${here.server.http}/api/health`)).json()) as { pending: number },
      ({ pending }) => pending === 0,
    );
  const alarms = async (query: string) =>
    (await here.get<List<AlarmBody>>(`/api/alarms?${query}`)).items;

  it('keeps what a node sent, in the units it was sent in', async () => {
    await node.publishAsync(telemetry, minutePack(startMs, 60, 1.2), { qos: 1 });
    const answer = await here.get<{
      channels: Record<string, { unit: string; points: number[][] }>;
    }>(
      `/api/units/harbour-mall/rtu-01/telemetry?channels=leak,rh&from=${new Date(startMs).toISOString()}`,
    );
    expect(Object.keys(answer.channels).sort()).toEqual(['leak', 'rh']);
    expect(answer.channels['leak']!.unit).toBe('A');
    expect(answer.channels['leak']!.points).toHaveLength(60);
    expect(answer.channels['leak']!.points[0]).toEqual([startMs, 0.0012, 0.0012, 0.0012]);
  });

  it('raises an urgent leakage alarm within five minutes of a step over the limit', async () => {
    const reader = await here.reader();
    const heard: Array<{ topic: string; payload: string; retain: boolean }> = [];
    reader.on('message', (topic, payload, packet) => {
      heard.push({ topic, payload: payload.toString(), retain: packet.retain });
    });
    await reader.subscribeAsync('lineside/+/+/alarm/+', { qos: 1 });

    const stepMs = startMs + 60 * MINUTE_MS;
    await node.publishAsync(telemetry, minutePack(stepMs, 10, 14), { qos: 1 });
    await nothingPending();
    const [alarm, ...more] = await alarms('state=standing');
    expect(more).toEqual([]);
    expect(alarm).toMatchObject({ kind: 'leakage', priority: 'urgent', state: 'unacknowledged' });
    expect(alarm!.headline).toMatch(/14 mA/);
    const delayMs = Date.parse(alarm!.raised) - stepMs;
    expect(delayMs).toBeGreaterThanOrEqual(0);
    expect(delayMs).toBeLessThanOrEqual(5 * MINUTE_MS);

    await eventually(
      async () => heard,
      (all) => all.length > 0,
    );
    expect(heard[0]!.topic).toBe('lineside/harbour-mall/rtu-01/alarm/leakage');
    expect(JSON.parse(heard[0]!.payload)).toMatchObject({ id: alarm!.id, kind: 'leakage' });
  });

  it('keeps alarm, acknowledgement and retained topic over a kill', async () => {
    const [alarm] = await alarms('state=standing');
    const answer = await here.post(`/api/alarms/${alarm!.id}/acknowledge`);
    expect(answer.status).toBe(200);
    expect(answer.body).toMatchObject({ id: alarm!.id, state: 'acknowledged' });
    await here.restart('kill');
    expect(await alarms('state=standing')).toMatchObject([
      { id: alarm!.id, state: 'acknowledged' },
    ]);

    const late = await here.reader();
    const retained = new Promise<{ payload: string; retain: boolean }>((resolve) => {
      late.on('message', (_topic, payload, packet) =>
        resolve({ payload: payload.toString(), retain: packet.retain }),
      );
    });
    await late.subscribeAsync('lineside/+/+/alarm/+', { qos: 1 });
    const first = await retained;
    expect(first.retain).toBe(true);
    expect(JSON.parse(first.payload)).toMatchObject({ id: alarm!.id, state: 'acknowledged' });
  });

  it('goes on after the restart exactly where it was and clears the alarm', async () => {
    node = await here.node('harbour-mall', 'rtu-01');
    await node.publishAsync(telemetry, minutePack(startMs + 70 * MINUTE_MS, 45, 1.2), { qos: 1 });
    await nothingPending();
    expect(await alarms('state=standing')).toEqual([]);
    const [alarm] = await alarms('kind=leakage');
    expect(alarm).toMatchObject({ state: 'normal' });
    expect(alarm!.raised).not.toBeNull();
  });

  it('answers 409 to acknowledging what is normal', async () => {
    const [alarm] = await alarms('kind=leakage');
    const answer = await here.post(`/api/alarms/${alarm!.id}/acknowledge`);
    expect(answer).toMatchObject({ status: 409, body: { status: 409 } });
  });

  it('quarantines what it refuses, with a reason that somebody can find', async () => {
    await node.publishAsync(telemetry, 'not senml', { qos: 1 });
    await node.publishAsync('lineside/harbour-mall/rtu-02/telemetry', minutePack(startMs, 1, 1), {
      qos: 1,
    });
    const { items } =
      await here.get<List<{ topic: string; code: string; reason: string; payload: string }>>(
        '/api/quarantine?limit=2',
      );
    expect(items[0]).toMatchObject({
      topic: 'lineside/harbour-mall/rtu-02/telemetry',
      reason: expect.stringContaining('topic not allowed'),
    });
    expect(Buffer.from(items[1]!.payload, 'base64').toString()).toBe('not senml');
  });
});
