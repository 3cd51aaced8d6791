/** What people do with a unit and its alarms, over a restart: real broker, files and clock. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './eventually.ts';
import { type Installation, install } from './installation.ts';
import { minutePack } from './packs.ts';
import { lineside } from './server-process.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const UNIT = '/api/units/harbour-mall/rtu-01';

interface AlarmBody {
  readonly id: string;
  readonly kind: string;
  readonly state: string;
}
interface JournalLine {
  readonly event: string;
  readonly by: string;
  readonly note: string | null;
}

describe('a unit out of service', () => {
  let here: Installation;
  const nowMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS;

  beforeAll(async () => {
    here = await install();
  });
  afterAll(() => here.dispose());

  const leakage = async () => {
    const { items } = await here.get<{ items: readonly AlarmBody[] }>('/api/alarms?kind=leakage');
    return items[0];
  };
  const isIn = (state: string) => eventually(leakage, (alarm) => alarm?.state === state);
  const journal = async (id: string) =>
    (await here.get<{ items: readonly JournalLine[] }>(`/api/alarms/${id}/journal`)).items;

  it('sets its alarms aside, also over a kill, and brings them back at its end', async () => {
    const until = new Date(nowMs + HOUR_MS).toISOString();
    const body = { kind: 'out-of-service', owner: 'rosa', reason: 'contactor is ordered', until };
    const added = await here.post(`${UNIT}/holds`, body);
    expect(added.status).toBe(201);
    const node = await here.node('harbour-mall', 'rtu-01');
    for (const [agoMinutes, leak] of [
      [120, 1.2],
      [60, 14],
    ] as const) {
      const pack = minutePack(nowMs - agoMinutes * MINUTE_MS, 60, leak);
      await node.publishAsync('lineside/harbour-mall/rtu-01/telemetry', pack, { qos: 1 });
    }
    const { id } = (await isIn('out-of-service')) ?? { id: 'none' };
    await here.restart('kill');
    expect((await leakage())?.state).toBe('out-of-service');
    const retained: string[] = [];
    const reader = await here.reader();
    reader.on('message', (_topic, payload) => retained.push(payload.toString()));
    await reader.subscribeAsync('lineside/harbour-mall/rtu-01/alarm/leakage', { qos: 1 });
    const states = async () => retained.map((text) => JSON.parse(text).state);
    await eventually(states, (seen) => seen.at(-1) === 'out-of-service');

    const { id: holdId } = added.body as { id: string };
    const ended = await fetch(`${here.server.http}/api/holds/${holdId}/end`, {
      method: 'POST',
      headers: { authorization: `Bearer ${here.officeToken}` },
    });
    expect(ended.status).toBe(204);
    await isIn('unacknowledged');
    await eventually(states, (seen) => seen.at(-1) === 'unacknowledged');
    expect((await here.get<{ hold: unknown }>(UNIT)).hold).toBeNull();
    const lines = await journal(id);
    expect(
      lines
        .map(({ event, by }) => `${event} ${by}`)
        .reverse()
        .slice(0, 3),
    ).toEqual(['raise watch', 'take-out-of-service clock', 'return-to-service clock']);
    expect(lines.find(({ event }) => event === 'take-out-of-service')?.note).toContain('rosa');
  }, 60_000);

  it('is answered, judged true, and counted', async () => {
    const { id } = (await leakage()) ?? { id: 'none' };
    await here.post(`/api/alarms/${id}/hand-on`, { note: 'at the other site' });
    const answered = await here.post(`/api/alarms/${id}/acknowledge`, { note: 'on my way' });
    expect(answered.body).toMatchObject({ state: 'acknowledged' });
    const [acknowledged, handedOn] = await journal(id);
    expect(acknowledged).toMatchObject({ event: 'acknowledge', note: 'on my way' });
    expect(handedOn).toMatchObject({ event: 'hand-on', note: 'at the other site' });
    const found = { verdict: 'true', found: 'track at L2', cause: 'line-side-track-to-ground' };
    expect((await here.post(`/api/alarms/${id}/verdict`, found)).status).toBe(200);
    const precision = await here.get<{ items: object[] }>('/api/precision');
    expect(precision.items[0]).toMatchObject({ name: null, true: 1, false: 0, share: 1 });
    const written = await lineside(['verdicts', '--data', here.place.data]);
    expect(written.status).toBe(0);
    expect(JSON.parse(written.stdout)).toMatchObject({ alarm: id, kind: 'leakage', ...found });
    const figures = await here.get<{ items: { figure: string; value: number }[] }>(
      '/api/alarm-figures',
    );
    expect(figures.items[0]).toMatchObject({ figure: 'alarms', value: 1 });
  });
});
