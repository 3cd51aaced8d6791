/** What only a client of an outside broker has to see to. */
import {
  type BrokerDoor,
  OutsideBroker,
  type OutsideBrokerLimits,
  type OutsideBrokerSettings,
} from '@lineside/ingest';
import { connectAsync, type MqttClient } from 'mqtt';
import { afterEach, describe, expect, it } from 'vitest';
import {
  BROKER_AUTHORITY,
  BROKER_CERTIFICATE,
  BROKER_KEY,
  FIRST_NODE_CERTIFICATE,
  FIRST_NODE_KEY,
} from './broker-certificates.ts';
import type { BrokerHooks } from './broker-contract.ts';
import { outsideSettings, partsWith } from './broker-places.ts';
import {
  HAS_MOSQUITTO,
  type MosquittoOptions,
  type MosquittoServer,
  mosquittoPasswords,
  startMosquittoServer,
} from './mosquitto-server.ts';
import { openWay } from './mqtt-way.ts';

const WITHIN = { timeout: 20_000, interval: 20 };
const LIMITS: OutsideBrokerLimits = { messages: 10_000, bytes: 1_000_000, keepaliveSeconds: 20 };
const TELEMETRY = 'lineside/harbour-mall/rtu-01/telemetry';
const ALARM = 'lineside/harbour-mall/rtu-01/alarm';

describe.skipIf(!HAS_MOSQUITTO)(
  'a client of Mosquitto (needs Debian package mosquitto)',
  {
    timeout: 60_000,
  },
  () => {
    const ends: (() => Promise<unknown>)[] = [];
    afterEach(async () => {
      for (const end of ends.splice(0).reverse()) await end();
    });

    const broker = async (options?: MosquittoOptions): Promise<MosquittoServer> => {
      const server = await startMosquittoServer(options);
      ends.push(() => server.stop());
      return server;
    };
    const door = (
      settings: OutsideBrokerSettings,
      hooks: Partial<BrokerHooks> = {},
      limits = LIMITS,
    ): BrokerDoor => {
      const quiet = { onMessage: () => {}, onOversize: () => {} };
      const made = new OutsideBroker(partsWith({ ...quiet, ...hooks }), settings, limits);
      ends.push(() => made.close());
      return made;
    };
    const client = async ({ port }: { readonly port: number }): Promise<MqttClient> => {
      const made = await connectAsync(`mqtt://127.0.0.1:${port}`);
      ends.push(() => made.endAsync(true));
      return made;
    };

    it('stops reading when too much is not committed, and its connection outlives that', async () => {
      const server = await broker();
      const way = await openWay(() => server.port);
      ends.push(() => way.stop());
      const taken: (() => void)[] = [];
      const payloads: string[] = [];
      const made = door(
        outsideSettings(way.port),
        {
          onMessage: ({ payload, acknowledge }) => {
            payloads.push(Buffer.from(payload).toString());
            taken.push(acknowledge);
          },
        },
        // The broker is told of neither, so that it sends on.
        { messages: 10_000, bytes: 30, keepaliveSeconds: 1 },
      );
      await made.open();
      const { connections } = way;
      const node = await client(server);
      const all = Array.from({ length: 20 }, (_, index) => `message ${index + 10}`);
      for (const text of all) await node.publishAsync(TELEMETRY, text, { qos: 1 });
      await expect.poll(() => payloads.length, WITHIN).toBe(3);
      // Longer than the broker waits for a word, and than we wait for one of it.
      await new Promise((resolve) => setTimeout(resolve, 3_000));
      expect(payloads).toEqual(all.slice(0, 3));
      expect(made.state.state).toBe('ok');
      const timer = setInterval(() => {
        for (const acknowledge of taken.splice(0)) acknowledge();
      }, 10);
      await expect.poll(() => payloads, WITHIN).toEqual(all);
      clearInterval(timer);
      expect(way.connections).toBe(connections);
    });

    it('notices a broker that hangs, and comes back to it', async () => {
      const server = await broker();
      const payloads: string[] = [];
      const made = door(
        outsideSettings(server.port),
        {
          onMessage: ({ payload, acknowledge }) => {
            payloads.push(Buffer.from(payload).toString());
            acknowledge();
          },
        },
        { ...LIMITS, keepaliveSeconds: 1 },
      );
      await made.open();
      server.pause();
      await expect.poll(() => made.isCutOff, WITHIN).toBe(true);
      expect(made.state.reason).toMatch(/^no connection to mqtt:.* for \d+ s: .*/);
      server.resume();
      await expect.poll(() => made.state.state, WITHIN).toBe('ok');
      const node = await client(server);
      await node.publishAsync(TELEMETRY, 'afterwards', { qos: 1 });
      await expect.poll(() => payloads, WITHIN).toEqual(['afterwards']);
    });

    it('empties alarm topics of an earlier life, and leaves alone what is right', async () => {
      const server = await broker();
      const other = await client(server);
      await other.publishAsync(`${ALARM}/leakage`, 'over', { qos: 1, retain: true });
      await other.publishAsync(`${ALARM}/moisture`, 'stands', { qos: 1, retain: true });
      await other.publishAsync(`${ALARM}/sensor`, 'as it was', { qos: 1, retain: true });
      const seen: string[] = [];
      other.on('message', (topic, payload, { retain }) => {
        if (!retain) seen.push(`${topic.slice(ALARM.length + 1)}=${payload.toString()}`);
      });
      await other.subscribeAsync('lineside/+/+/alarm/+', { qos: 1 });
      const made = door(outsideSettings(server.port));
      await made.publishRetained(`${ALARM}/moisture`, 'stands');
      await made.publishRetained(`${ALARM}/sensor`, 'as it is');
      await made.open();
      await expect.poll(() => seen.length, WITHIN).toBeGreaterThanOrEqual(3);
      // Wanted before there was a connection: sent as due, whether it is there or not.
      expect(seen.toSorted()).toEqual(['leakage=', 'moisture=stands', 'sensor=as it is']);

      // What changes while the broker is away, and what the broker forgot, is there afterwards.
      await server.kill();
      await expect.poll(() => made.state.state, WITHIN).toBe('down');
      await made.publishRetained(`${ALARM}/sensor`, '');
      await server.start();
      await expect.poll(() => made.state.state, WITHIN).toBe('ok');
      const late = await client(server);
      const retained: string[] = [];
      late.on('message', (topic, payload) => {
        if (payload.length > 0)
          retained.push(`${topic.slice(ALARM.length + 1)}=${payload.toString()}`);
      });
      await late.subscribeAsync('lineside/+/+/alarm/+', { qos: 1 });
      await expect.poll(() => retained, WITHIN).toEqual(['moisture=stands']);
    });

    it('says that nobody’s presence is known only where the broker kept no session', async () => {
      const server = await broker();
      const way = await openWay(() => server.port);
      ends.push(() => way.stop());
      const node = await client(server);
      const presence = 'lineside/harbour-mall/rtu-01/presence';
      await node.publishAsync(presence, 'online', { qos: 1, retain: true });
      const events: string[] = [];
      const made = door(outsideSettings(way.port), {
        onPresenceLost: async () => void events.push('lost'),
        onMessage: ({ kind, acknowledge }) => {
          events.push(kind);
          acknowledge();
        },
      });
      await made.open();
      await expect.poll(() => events, WITHIN).toEqual(['lost', 'presence']);
      way.cut();
      await expect.poll(() => events, WITHIN).toEqual(['lost', 'presence', 'presence']);
    });

    it('starts without a broker, and connects when it comes', async () => {
      const server = await broker();
      await server.end();
      const made = door(outsideSettings(server.port));
      await made.open();
      expect(made.state).toMatchObject({ state: 'down' });
      expect(made.state.reason).toContain('ECONNREFUSED');
      await server.start();
      await expect.poll(() => made.state.state, WITHIN).toBe('ok');
    });

    it.each([false, true])(
      'says that user or password is wrong (old broker: %s)',
      async (isOld) => {
        const server = await broker({
          files: { passwords: mosquittoPasswords({ lineside: 'right' }) },
          lines: ({ folder }) => ['allow_anonymous false', `password_file ${folder}/passwords`],
        });
        const way = await openWay(() => server.port, { isOld });
        ends.push(() => way.stop());
        const settings = { ...outsideSettings(way.port), username: 'lineside' };
        await expect(door({ ...settings, password: 'wrong' }).open()).rejects.toThrow(
          /not authorised: user name, password or client certificate/,
        );
        const right = door({ ...settings, password: 'right' });
        await right.open();
        expect(right.state.state).toBe('ok');
      },
    );

    it('trusts the authority that it is given and no other, and shows its certificate', async () => {
      const files = {
        'ca.pem': BROKER_AUTHORITY,
        'cert.pem': BROKER_CERTIFICATE,
        'key.pem': BROKER_KEY,
      };
      const server = await broker({
        files,
        lines: ({ folder }) => [
          `cafile ${folder}/ca.pem`,
          `certfile ${folder}/cert.pem`,
          `keyfile ${folder}/key.pem`,
          'require_certificate true',
          'use_identity_as_username true',
        ],
      });
      const ours = { certificate: FIRST_NODE_CERTIFICATE, key: FIRST_NODE_KEY };
      const settings = { ...outsideSettings(server.port), url: server.url };
      await expect(door({ ...settings, tls: { ca: null, ...ours } }).open()).rejects.toThrow(
        /TLS with the broker fails/,
      );
      const known = door({ ...settings, tls: { ca: BROKER_AUTHORITY, ...ours } });
      await known.open();
      expect(known.state.state).toBe('ok');
      const without = { ca: BROKER_AUTHORITY, certificate: null, key: null };
      const unknown = door({ ...settings, clientId: 'other', tls: without });
      const outcome = await unknown.open().then(
        () => unknown.state.reason,
        (error: Error) => error.message,
      );
      expect(outcome).toMatch(/certificate|closed|ECONNRESET/);
      await expect(
        door({ ...settings, tls: null })
          .open()
          .then(() => 'open'),
      ).resolves.toBe('open');
    });

    it('suspects another client with its client id when it is put out again and again', async () => {
      const server = await broker();
      const first = door(outsideSettings(server.port));
      await first.open();
      const reasons = new Set<string>();
      const timer = setInterval(() => reasons.add(first.state.reason ?? ''), 5);
      const second = door(outsideSettings(server.port));
      await second.open();
      await expect
        .poll(() => [...reasons].join('\n'), WITHIN)
        .toMatch(/another client has our client id/);
      clearInterval(timer);
    });
  },
);
