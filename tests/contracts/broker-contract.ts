/** What ingest relies on, whoever runs the broker. */
import type { BrokerDoor, OversizeMessage, ReceivedMessage } from '@lineside/ingest';
import type { IClientOptions, MqttClient } from 'mqtt';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

const WITHIN = { timeout: 20_000, interval: 10 };
const MEBIBYTE = 1024 * 1024;

/** What the door hands in. */
export interface BrokerHooks {
  readonly onMessage: (message: ReceivedMessage) => void;
  readonly onOversize: (message: OversizeMessage) => void;
  readonly onPresenceLost?: () => Promise<void>;
}

/** One broker with its nodes and readers, fresh for each test. */
export interface BrokerPlace {
  /** A door that is open; a second one is the next life of the service. */
  open(hooks: BrokerHooks): Promise<BrokerDoor>;
  /** A node that is signed in and comes back by itself. */
  node(unit: string, options?: IClientOptions): Promise<MqttClient>;
  /** A program that reads alarms. */
  reader(): Promise<MqttClient>;
  /** Breaks the connection over which the door is given messages. */
  interrupt(): void;
  /** A topic that a node can publish to although it is none of its own. */
  readonly strayTopic: string;
  dispose(): Promise<void>;
}

function telemetryOf(unit: string): string {
  return `lineside/harbour-mall/${unit}/telemetry`;
}

/** Collects what a door hands in. */
class Inbox implements BrokerHooks {
  readonly messages: ReceivedMessage[] = [];
  readonly oversize: OversizeMessage[] = [];
  isAnswering = true;

  readonly onMessage = (message: ReceivedMessage): void => {
    this.messages.push(message);
    if (this.isAnswering) message.acknowledge();
  };

  readonly onOversize = (message: OversizeMessage): void => {
    this.oversize.push(message);
    message.acknowledge?.();
  };

  payloads(): string[] {
    return this.messages.map(({ payload }) => Buffer.from(payload).toString());
  }
}

export function describeBroker(name: string, makePlace: () => Promise<BrokerPlace>): void {
  describe(name, { timeout: 60_000 }, () => {
    let place: BrokerPlace;
    let inbox: Inbox;
    const doors: BrokerDoor[] = [];
    const open = async (hooks: BrokerHooks): Promise<BrokerDoor> => {
      const door = await place.open(hooks);
      doors.push(door);
      return door;
    };

    beforeEach(async () => {
      place = await makePlace();
      inbox = new Inbox();
    });
    afterEach(async () => {
      for (const door of doors.splice(0)) await door.close();
      await place.dispose();
    });

    it('hands in what a node publishes, with who it is', async () => {
      const door = await open(inbox);
      expect(door.state).toEqual({ state: 'ok', reason: null });
      expect(door.isCutOff).toBe(false);
      const node = await place.node('rtu-01');
      await node.publishAsync(telemetryOf('rtu-01'), 'reading', { qos: 1 });
      await expect.poll(() => inbox.payloads(), WITHIN).toEqual(['reading']);
      expect(inbox.messages[0]).toMatchObject({
        kind: 'telemetry',
        topic: telemetryOf('rtu-01'),
        identity: { kind: 'node', site: 'harbour-mall', unit: 'rtu-01' },
      });
      await node.publishAsync(telemetryOf('rtu-01'), 'unasked', { qos: 0 });
      await expect.poll(() => inbox.payloads(), WITHIN).toEqual(['reading', 'unasked']);
    });

    it('is given again what it did not acknowledge, and nothing that it did', async () => {
      await open(inbox);
      inbox.isAnswering = false;
      const units = ['rtu-01', 'rtu-02', 'rtu-03'];
      for (const unit of units) {
        const node = await place.node(unit);
        node.publish(telemetryOf(unit), unit, { qos: 1 }, () => {});
        await expect.poll(() => inbox.payloads().at(-1), WITHIN).toBe(unit);
      }
      inbox.messages[0]?.acknowledge();
      await onTheWire();
      place.interrupt();
      await expect.poll(() => inbox.messages[1]?.gone(), WITHIN).toBe(true);
      const again = (): string[] => inbox.payloads().slice(3).toSorted();
      await expect.poll(again, WITHIN).toEqual(['rtu-02', 'rtu-03']);
      // What comes too late for its connection harms nobody.
      for (const message of inbox.messages.slice(1)) message.acknowledge();
      inbox.isAnswering = true;
      const node = await place.node('rtu-04');
      await node.publishAsync(telemetryOf('rtu-04'), 'after', { qos: 1 });
      await expect.poll(() => inbox.payloads().at(-1), WITHIN).toBe('after');
      expect(again()).toEqual(['after', 'rtu-02', 'rtu-03']);
    });

    it('acknowledges thousands that were committed at once', async () => {
      const door = await open(inbox);
      inbox.isAnswering = false;
      const nodes = await Promise.all(['rtu-01', 'rtu-02'].map((unit) => place.node(unit)));
      const sent = nodes.flatMap((node, which) =>
        Array.from({ length: 1_000 }, (_, index) =>
          node.publishAsync(telemetryOf(`rtu-0${which + 1}`), `${index}`, { qos: 1 }),
        ),
      );
      const timer = setInterval(() => {
        for (const message of inbox.messages.splice(0)) message.acknowledge();
      }, 50);
      await Promise.all(sent);
      await expect.poll(() => door.unacknowledgedMessages, WITHIN).toBe(0);
      clearInterval(timer);
    });

    it('shows alarm topics to readers, also to those who come later, and empties them', async () => {
      const door = await open(inbox);
      const topic = 'lineside/harbour-mall/rtu-01/alarm/leakage';
      const seen: string[] = [];
      const reader = await place.reader();
      reader.on('message', (_topic, payload) => seen.push(payload.toString()));
      await reader.subscribeAsync('lineside/+/+/alarm/+', { qos: 1 });
      await door.publishRetained(topic, '{"state":"unacknowledged"}');
      await door.publishRetained(topic, '{"state":"acknowledged"}');
      await expect.poll(() => seen.at(-1), WITHIN).toBe('{"state":"acknowledged"}');

      const late = await place.reader();
      const retained: string[] = [];
      late.on('message', (_topic, payload, { retain }) => {
        if (retain) retained.push(payload.toString());
      });
      await late.subscribeAsync('lineside/+/+/alarm/+', { qos: 1 });
      await expect.poll(() => retained, WITHIN).toEqual(['{"state":"acknowledged"}']);

      await door.publishRetained(topic, '');
      await expect.poll(() => seen.at(-1), WITHIN).toBe('');
      const last = await place.reader();
      const left: string[] = [];
      last.on('message', (_topic, payload) => left.push(payload.toString()));
      await last.subscribeAsync('lineside/+/+/alarm/+', { qos: 1 });
      await door.publishRetained('lineside/harbour-mall/rtu-02/alarm/moisture', '{}');
      await expect.poll(() => left, WITHIN).toEqual(['{}']);
      expect(inbox.messages).toEqual([]);
    });

    it('says of a topic that is nobody’s own that it is not allowed', async () => {
      await open(inbox);
      const node = await place.node('rtu-01');
      await node.publishAsync(place.strayTopic, 'stray', { qos: 1 });
      await expect.poll(() => inbox.messages.length, WITHIN).toBe(1);
      expect(inbox.messages[0]).toMatchObject({ kind: 'not-allowed', topic: place.strayTopic });
    });

    it('takes a message of a mebibyte whole, and of a larger one the beginning', async () => {
      await open(inbox);
      const node = await place.node('rtu-01');
      const other = await place.node('rtu-02');
      await node.publishAsync(telemetryOf('rtu-01'), Buffer.alloc(MEBIBYTE, 'a'), { qos: 1 });
      await expect.poll(() => inbox.messages[0]?.payload.length, WITHIN).toBe(MEBIBYTE);

      const larger = Buffer.alloc(3 * MEBIBYTE, 'b');
      node.publish(telemetryOf('rtu-01'), larger, { qos: 1 }, () => {});
      await expect.poll(() => inbox.oversize.length, WITHIN).toBe(1);
      const [{ topic, announcedBytes, payloadHead }] = inbox.oversize as [OversizeMessage];
      expect(topic).toBe(telemetryOf('rtu-01'));
      expect(announcedBytes).toBeGreaterThan(larger.length);
      expect(payloadHead.length).toBeLessThanOrEqual(4096);
      expect(Buffer.from(payloadHead).every((byte) => byte === 'b'.charCodeAt(0))).toBe(true);

      await other.publishAsync(telemetryOf('rtu-02'), 'small', { qos: 1 });
      await expect.poll(() => inbox.payloads().at(-1), WITHIN).toBe('small');
    });

    it('hears who comes, and by the last will who is gone', async () => {
      await open(inbox);
      const topic = 'lineside/harbour-mall/rtu-01/presence';
      const node = await place.node('rtu-01', {
        reconnectPeriod: 0,
        will: { topic, payload: Buffer.from('offline'), qos: 1, retain: true },
      });
      await node.publishAsync(topic, 'online', { qos: 1, retain: true });
      await expect.poll(() => inbox.payloads(), WITHIN).toEqual(['online']);
      node.stream.destroy();
      await expect.poll(() => inbox.payloads(), WITHIN).toEqual(['online', 'offline']);
      expect(inbox.messages.map(({ kind }) => kind)).toEqual(['presence', 'presence']);
    });

    it('takes nothing new once it was told so, and still acknowledges what it took', async () => {
      const door = await open(inbox);
      inbox.isAnswering = false;
      const node = await place.node('rtu-01');
      node.publish(telemetryOf('rtu-01'), 'taken', { qos: 1 }, () => {});
      await expect.poll(() => inbox.messages.length, WITHIN).toBe(1);
      door.stopTaking();
      inbox.messages[0]?.acknowledge();
      await onTheWire();
      node.publish(telemetryOf('rtu-01'), 'later', { qos: 1 }, () => {});
      await door.close();
      expect(door.state.state).toBe('down');
      expect(inbox.payloads()).toEqual(['taken']);

      const next = new Inbox();
      await open(next);
      await expect.poll(() => next.payloads(), WITHIN).toEqual(['later']);
    });
  });
}

/** Gives what was written last the time to arrive. */
function onTheWire(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, 300));
}
