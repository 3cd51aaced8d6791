import fc from 'fast-check';
import { generate } from 'mqtt-packet';
import { describe, expect, it } from 'vitest';
import { type MeterVerdict, PacketMeter } from '../src/broker/packet-meter.ts';

const LIMITS = { firstPacketBytes: 200, packetBytes: 1_000 };
const connect = generate({ cmd: 'connect', clientId: 'node-1', clean: true, keepalive: 60 });

function publish(topic: string, payloadBytes: number): Buffer {
  const payload = Buffer.alloc(payloadBytes, 7);
  return generate({ cmd: 'publish', topic, payload, qos: 0, dup: false, retain: false });
}

/** Feeds the stream cut at the given places and returns the last verdict. */
function feed(stream: Buffer, cuts: readonly number[]): MeterVerdict {
  const meter = new PacketMeter(LIMITS);
  const places = [...new Set([0, ...cuts.map((cut) => cut % stream.length), stream.length])];
  places.sort((a, b) => a - b);
  let verdict: MeterVerdict = 'pass';
  for (let i = 1; i < places.length; i++) {
    verdict = meter.feed(stream.subarray(places[i - 1], places[i]));
    if (verdict !== 'pass' && verdict !== 'wait') {
      return verdict;
    }
  }
  return verdict;
}

describe('packet meter', () => {
  it('passes packets within the limits however the stream is cut', () => {
    fc.assert(
      fc.property(
        fc.array(fc.nat(900), { minLength: 1, maxLength: 5 }),
        fc.array(fc.nat(5_000)),
        (sizes, cuts) => {
          const stream = Buffer.concat([connect, ...sizes.map((size) => publish('a/b', size))]);
          expect(feed(stream, cuts)).toBe('pass');
        },
      ),
    );
  });

  it('finds an oversize packet and its topic however the stream is cut', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(5_000)), fc.integer({ min: 1_000, max: 3_000 }), (cuts, size) => {
        const stream = Buffer.concat([connect, publish('a/b', 10), publish('site/unit', size)]);
        expect(feed(stream, cuts)).toMatchObject({
          kind: 'oversize',
          topic: 'site/unit',
          announcedBytes: size + 2 + 'site/unit'.length,
        });
      }),
    );
  });

  it('waits until the topic of an oversize packet is complete', () => {
    const meter = new PacketMeter(LIMITS);
    const stream = publish('site/unit', 2_000);
    expect(meter.feed(connect)).toBe('pass');
    expect(meter.feed(stream.subarray(0, 4))).toBe('wait');
    expect(meter.feed(stream.subarray(4, 9))).toBe('wait');
    expect(meter.feed(stream.subarray(9, 20))).toMatchObject({ topic: 'site/unit' });
  });

  it('holds the first packet to its own smaller limit', () => {
    const big = generate({
      cmd: 'connect',
      clientId: 'n',
      clean: true,
      keepalive: 60,
      username: 'x'.repeat(300),
    });
    expect(feed(big, [])).toMatchObject({ kind: 'oversize', topic: null });
  });

  it('refuses a length field of more than four bytes', () => {
    expect(feed(Buffer.from([0x30, 0xff, 0xff, 0xff, 0xff, 0x01]), [])).toBe('malformed');
  });

  it('keeps of an oversize payload no byte of what stands before it', () => {
    const meter = new PacketMeter(LIMITS);
    meter.feed(connect);
    const payload = Buffer.alloc(2_000, 7);
    const packet = { topic: 'a/b', payload, dup: false, retain: false } as const;
    const stream = generate({ cmd: 'publish', qos: 1, messageId: 513, ...packet });
    const verdict = meter.feed(stream);
    expect(verdict).toMatchObject({ topic: 'a/b', payloadHead: new Uint8Array(payload) });
  });

  it('keeps at most 4 KiB of an oversize payload', () => {
    const meter = new PacketMeter(LIMITS);
    meter.feed(connect);
    const verdict = meter.feed(publish('a/b', 9_000));
    expect(verdict).toMatchObject({ kind: 'oversize', payloadHead: new Uint8Array(4096).fill(7) });
  });
});
