/** Ingest, api and alerting as three processes that find each other by stores and broker. */
import { join } from 'node:path';
import { openRecordStore } from '@lineside/storage';
import type { MqttClient } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HAS_MOSQUITTO } from '../contracts/mosquitto-server.ts';
import { eventually } from './eventually.ts';
import { minutePack } from './packs.ts';
import { SeparateHouse } from './separate-house.ts';
import { lineside } from './server-process.ts';
import { ServerSent } from './server-sent.ts';

interface AlarmBody {
  readonly id: string;
  readonly kind: string;
  readonly state: string;
}

const MINUTE_MS = 60_000;

/** Three processes start, one after another on a machine that may be busy. */
const LONGEST_STEP_MS = 150_000;
type PackWords = Parameters<typeof minutePack>;
const PATH = '/api/units/harbour-mall/rtu-01';

describe.skipIf(!HAS_MOSQUITTO)(
  'three processes around a real Mosquitto (Debian package mosquitto)',
  { timeout: LONGEST_STEP_MS },
  () => {
    let house: SeparateHouse;
    let node: MqttClient;
    const retained = new Map<string, string>();
    const nowMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS;
    let alarm: AlarmBody;

    beforeAll(async () => {
      house = await SeparateHouse.prepare();
    });
    afterAll(() => house.dispose());

    const isAllWell = ({ state, pending }: { state: string; pending: number | null }): boolean =>
      state === 'ok' && pending === 0;
    const publish = (unit: string, ...[fromMs, minutes, milliamps]: PackWords): Promise<unknown> =>
      node.publishAsync(
        `lineside/harbour-mall/${unit}/telemetry`,
        minutePack(fromMs, minutes, milliamps),
        { qos: 1 },
      );
    const pages = (about: string): number =>
      house.phones.received.filter(({ body }) => body.includes(about)).length;

    it('start in any order, and say what is not there yet', async () => {
      await Promise.all([house.start('api'), house.start('alerting')]);
      expect(await house.get('/api/units')).toEqual({ items: [], next: null });
      const health = await house.healthOnce(({ broker }) => broker.state === 'down');
      expect(health).toMatchObject({ state: 'down', ingest: { state: 'down' }, pending: null });
      await house.broker.start();
      await house.start('ingest');
      await house.healthOnce(isAllWell);
      expect((await house.get<{ items: [] }>('/api/units')).items).toHaveLength(3);
    });

    it('raise an alarm that the api shows and tells of, and that pages somebody', async () => {
      node = await house.client('harbour-mall/rtu-01');
      const reader = await house.client('reader');
      reader.on('message', (topic, payload) => retained.set(topic, payload.toString()));
      await reader.subscribeAsync('lineside/+/+/alarm/+', { qos: 1 });
      const events = await ServerSent.open(`${house.httpUrl}/api/events`, house.officeHeaders);
      await publish('rtu-01', nowMs - 240 * MINUTE_MS, 235, 1.2);
      await publish('rtu-01', nowMs - 5 * MINUTE_MS, 5, 14);
      const { items } = await eventually(
        () => house.get<{ items: AlarmBody[] }>('/api/alarms?state=standing'),
        (answer) => answer.items.length > 0,
      );
      expect(items).toMatchObject([{ kind: 'leakage', state: 'unacknowledged' }]);
      alarm = items[0] ?? alarm;
      await house.healthOnce(isAllWell);
      await eventually(
        async () => events.names,
        (names) => ['reading', 'condition', 'alarm'].every((name) => names.includes(name)),
      );
      events.close();
      const unit = await house.get<{ lastReading: object; condition: object }>(PATH);
      expect(unit).toMatchObject({ lastReading: { channels: { leak: 0.014 } } });
      expect(unit.condition).toMatchObject({ leakageMilliamps: 14 });
      await eventually(
        async () => pages('RTU-1'),
        (count) => count > 0,
        { withinMs: 60_000 },
      );
    });

    it('show in the retained topic what somebody did at the api', async () => {
      await house.post(`/api/alarms/${alarm.id}/acknowledge`, {});
      const stateOf = async (): Promise<string> =>
        (
          JSON.parse(
            retained.get('lineside/harbour-mall/rtu-01/alarm/leakage') ?? '{}',
          ) as AlarmBody
        ).state;
      await eventually(stateOf, (state) => state === 'acknowledged');
    });

    it('have a service record reach the watch before nothing is said to be pending', async () => {
      const time = new Date(nowMs).toISOString();
      const body = { action: 'inspection', time };
      const { id } = await house.post<{ id: string }>(`${PATH}/service`, body);
      await house.healthOnce(isAllWell);
      const records = await openRecordStore({ file: join(house.data, 'records.db') });
      try {
        const heard = async (): Promise<string> => JSON.stringify(await records.checkpoints());
        await eventually(heard, (text) => text.includes(id), { withinMs: 60_000 });
      } finally {
        await records.close();
      }
    });

    it('lose nothing when ingest is killed, and say that it is down', async () => {
      await house.kill('ingest');
      await publish('rtu-01', nowMs, 1, 13.5);
      const health = await house.healthOnce(({ ingest }) => ingest.state === 'down');
      expect(health).toMatchObject({ broker: { state: 'ok' }, pending: null });
      expect(health.ingest.reason).toMatch(/^no answer within 2 s; .*--only ingest/);
      await house.start('ingest');
      await house.healthOnce(isAllWell);
      await eventually(
        () => house.get<{ lastReading: object }>(PATH),
        ({ lastReading }) => JSON.stringify(lastReading).includes('0.0135'),
        { withinMs: 60_000 },
      );
    });

    it('know everything again after the api is killed', async () => {
      await house.kill('api');
      await house.start('api');
      await house.healthOnce(isAllWell);
      const { items } = await house.get<{ items: AlarmBody[] }>('/api/alarms?state=standing');
      expect(items).toMatchObject([{ id: alarm.id, state: 'acknowledged' }]);
      const unit = await house.get<{ lastReading: object; condition: object | null }>(PATH);
      expect(JSON.stringify(unit.lastReading)).toContain('0.0135');
      expect(unit.condition).not.toBeNull();
    });

    it('page after alerting was killed what was raised meanwhile', async () => {
      await house.kill('alerting');
      await house.healthOnce(({ alerting }) => alerting.state === 'down');
      node = await house.client('harbour-mall/rtu-02');
      await publish('rtu-02', nowMs - 240 * MINUTE_MS, 235, 1.2);
      await publish('rtu-02', nowMs - 5 * MINUTE_MS, 5, 14);
      await eventually(
        () => house.get<{ items: AlarmBody[] }>('/api/alarms?state=standing&unit=rtu-02'),
        ({ items }) => items.length > 0,
      );
      await house.healthOnce(({ pending }) => pending === 0);
      expect(pages('rtu-02')).toBe(0);
      await house.start('alerting');
      await eventually(
        async () => pages('rtu-02'),
        (count) => count > 0,
        { withinMs: 60_000 },
      );
    });

    it('have one process a service, and end in order', async () => {
      const args = ['serve', '--only', 'ingest', '--data', house.data];
      const second = await lineside(args, house.settings);
      expect(second.status).toBe(3);
      expect(second.stderr).toMatch(/in use by another server \(ingest\)/);
      const well = await house.healthCommand('ingest');
      expect(well).toMatchObject({ status: 0, stdout: '{"ingest":"serves"}\n' });
      expect(await house.stop('alerting', 'api', 'ingest')).toEqual([0, 0, 0]);
      expect((await house.healthCommand('ingest')).status).toBe(1);
    });
  },
);
