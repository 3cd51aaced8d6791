/** What comes late is judged as if it had come in time: real broker, real files, real threads. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './eventually.ts';
import { type Installation, install } from './installation.ts';
import { minutePack } from './packs.ts';
import { lineside } from './server-process.ts';

interface AlarmBody {
  readonly id: string;
  readonly kind: string;
  readonly priority: string;
  readonly state: string;
  readonly raised: string;
  readonly cleared: string | null;
  readonly acknowledged: string | null;
  readonly withdrawn: boolean;
  readonly priorities: readonly { readonly priority: string; readonly since: string }[];
}
interface List<T> {
  readonly items: readonly T[];
}
interface WhatIfBody {
  readonly id: string;
  readonly state: string;
  readonly counts: readonly { kind: string; priority: string; actual: number; would: number }[];
}

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;

describe('late data', () => {
  let here: Installation;
  const startMs = Math.floor(Date.now() / HOUR_MS) * HOUR_MS - 10 * DAY_MS;
  const topic = (unit: string): string => `lineside/harbour-mall/${unit}/telemetry`;

  beforeAll(async () => {
    here = await install();
  });
  afterAll(() => here.dispose());

  const nothingPending = () =>
    eventually(
      async () =>
        (await (await fetch(`${here.server.http}/api/health`)).json()) as { pending: number },
      ({ pending }) => pending === 0,
      { withinMs: 40_000 },
    );
  const alarmsOf = async (unit: string, more = '') =>
    (await here.get<List<AlarmBody>>(`/api/alarms?unit=${unit}${more}`)).items;
  const judgedPart = (alarms: readonly AlarmBody[]) =>
    alarms.map(({ kind, priority, raised, cleared, priorities }) => ({
      kind,
      priority,
      raised,
      cleared,
      priorities: priorities.map((step) => [step.priority, step.since]),
    }));

  /** A week in packs of six hours: quiet, a step of 14 mA for two hours on day 3, quiet again. */
  const week = (): string[] =>
    Array.from({ length: 28 }, (_, index) => {
      const fromMs = startMs + index * 6 * HOUR_MS;
      return minutePack(fromMs, 360, index === 12 ? 14 : 1.2);
    });

  it('judges a week of backlog newest first as it judges it in order', async () => {
    const inOrder = await here.node('harbour-mall', 'rtu-01');
    const newestFirst = await here.node('harbour-mall', 'rtu-02');
    for (const pack of week()) await inOrder.publishAsync(topic('rtu-01'), pack, { qos: 1 });
    await nothingPending();
    const expected = judgedPart(await alarmsOf('rtu-01'));
    expect(expected.map(({ kind, priority }) => [kind, priority])).toEqual([['leakage', 'urgent']]);
    for (const pack of week().reverse()) {
      await newestFirst.publishAsync(topic('rtu-02'), pack, { qos: 1 });
    }
    const sentAt = performance.now();
    await nothingPending();
    expect(performance.now() - sentAt).toBeLessThan(30_000);
    expect(judgedPart(await alarmsOf('rtu-02'))).toEqual(expected);
  });

  it('withdraws an alarm that late readings take away, and keeps what people did', async () => {
    const node = await here.node('hilltop-school', 'rtu-11');
    const send = (pack: string) =>
      node.publishAsync('lineside/hilltop-school/rtu-11/telemetry', pack, { qos: 1 });
    // Two lone readings over the limit, seven minutes apart, look like a lasting step.
    await send(minutePack(startMs, 60, 1.2));
    for (const minute of [60, 62, 64, 66, 68]) {
      await send(minutePack(startMs + minute * MINUTE_MS, 1, 14));
    }
    await nothingPending();
    const [alarm, ...others] = await alarmsOf('rtu-11');
    expect(others).toEqual([]);
    expect(alarm).toMatchObject({ kind: 'leakage', priority: 'urgent', state: 'unacknowledged' });
    const acknowledged = await here.post(`/api/alarms/${alarm!.id}/acknowledge`);
    expect(acknowledged.status).toBe(200);
    // The minutes between come late and are dry: the step was single bursts.
    for (const minute of [61, 63, 65, 67, 69]) {
      await send(minutePack(startMs + minute * MINUTE_MS, 1, 1.2));
    }
    for (let tenth = 1; tenth < 10; tenth += 2) {
      for (const minute of [60, 61, 62, 63, 64, 65, 66, 67]) {
        const atMs = startMs + minute * MINUTE_MS + tenth * 6_000;
        await send(minutePack(atMs, 1, 1.2));
      }
    }
    await nothingPending();
    expect(await alarmsOf('rtu-11')).toEqual([]);
    const [withdrawn] = await alarmsOf('rtu-11', '&withdrawn=true');
    expect(withdrawn).toMatchObject({ id: alarm!.id, withdrawn: true, state: 'normal' });
  });

  it('gives the same after a kill in the middle of it', async () => {
    const node = await here.node('harbour-mall', 'rtu-01');
    const beforeMs = startMs - 3 * DAY_MS;
    for (let quarter = 11; quarter >= 0; quarter--) {
      const fromMs = beforeMs + quarter * 6 * HOUR_MS;
      await node.publishAsync(topic('rtu-01'), minutePack(fromMs, 360, quarter === 4 ? 33 : 1.1), {
        qos: 1,
      });
    }
    await here.restart('kill');
    await nothingPending();
    const again = judgedPart(await alarmsOf('rtu-01'));
    expect(again.map(({ kind, priority }) => [kind, priority])).toEqual([
      ['leakage', 'urgent'],
      ['leakage', 'emergency'],
    ]);
    const raisedMs = Date.parse(again[1]!.raised);
    expect(raisedMs).toBeGreaterThanOrEqual(beforeMs + 24 * HOUR_MS);
    expect(raisedMs).toBeLessThanOrEqual(beforeMs + 24 * HOUR_MS + 5 * MINUTE_MS);
  });

  it('tells what other limits would have raised, and leaves the journal alone', async () => {
    const before = await here.get<List<AlarmBody>>('/api/alarms?withdrawn=true');
    const started = await here.post('/api/what-if', { limits: { leakageUrgent: 20 } });
    expect(started.status).toBe(202);
    const { id } = started.body as WhatIfBody;
    const done = await eventually(
      () => here.get<WhatIfBody>(`/api/what-if/${id}`),
      ({ state }) => state === 'done',
    );
    const urgent = done.counts.find(
      ({ kind, priority }) => kind === 'leakage' && priority === 'urgent',
    );
    expect(urgent).toMatchObject({ actual: 2, would: 0 });
    expect(await here.get('/api/alarms?withdrawn=true')).toEqual(before);
  });

  it('tells the same by the command, while the server runs', async () => {
    const { data } = here.place;
    const asked = ['what-if', '--data', data, '--limit', 'leakageUrgent=20', '--days', '30'];
    const counted = await lineside(asked);
    expect(counted).toMatchObject({ status: 0, stderr: '' });
    expect(counted.stdout).toMatch(/^kind +priority +were +would be\n/);
    expect(counted.stdout).toMatch(/leakage +urgent +2 +0\n/);
    const wrong = await lineside(['what-if', '--data', data, '--limit', 'leakageUrgnt=20']);
    expect(wrong.status).toBe(2);
    expect(wrong.stderr).toContain('leakageUrgnt=20');
  });
});
