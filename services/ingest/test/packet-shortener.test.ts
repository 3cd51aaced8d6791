import fc from 'fast-check';
import { generate, type Packet, parser } from 'mqtt-packet';
import { describe, expect, it } from 'vitest';
import { PacketShortener } from '../src/outside-broker/packet-shortener.ts';
import type { ShortenedPublish } from '../src/outside-broker/short-publish.ts';

const MOST = 1_000;

interface Message {
  readonly topic: string;
  readonly bytes: number;
  readonly qos: 0 | 1;
}

const message: fc.Arbitrary<Message> = fc.record({
  topic: fc.string({ minLength: 1, maxLength: 300, unit: 'grapheme' }).map((text) => `t/${text}`),
  bytes: fc.oneof(fc.nat(50), fc.nat(20_000)),
  qos: fc.constantFrom(0, 1),
});

function packetOf({ topic, bytes, qos }: Message, index: number, version: 4 | 5): Buffer {
  const properties = { userProperties: { long: 'x'.repeat(bytes % 700) } };
  return generate(
    {
      cmd: 'publish',
      topic,
      payload: Buffer.alloc(bytes, index + 1),
      qos,
      dup: false,
      retain: false,
      ...(qos === 1 ? { messageId: index + 1 } : {}),
      ...(version === 5 ? { properties } : {}),
    },
    { protocolVersion: version },
  );
}

/** Bytes after the fixed header. */
function bodyBytes(packet: Buffer): number {
  const lengthBytes = packet.subarray(1).findIndex((byte) => (byte & 0x80) === 0) + 1;
  return packet.length - 1 - lengthBytes;
}

/** Feeds the stream cut at the given places. */
function shorten(stream: Buffer, cuts: readonly number[], version: 4 | 5) {
  const shortened: ShortenedPublish[] = [];
  const shortener = new PacketShortener({
    mostPacketBytes: MOST,
    isVersion5: version === 5,
    onShortened: (publish) => shortened.push(publish),
  });
  const places = [...new Set([0, ...cuts.map((cut) => cut % stream.length), stream.length])];
  places.sort((one, other) => one - other);
  const out: Buffer[] = [];
  for (let i = 1; i < places.length; i++) {
    out.push(...shortener.feed(stream.subarray(places[i - 1], places[i])));
  }
  const packets: Packet[] = [];
  const read = parser({ protocolVersion: version });
  read.on('packet', (packet) => packets.push(packet));
  read.parse(Buffer.concat(out));
  return { bytes: Buffer.concat(out), packets, shortened };
}

describe.each([4, 5] as const)('packet shortener, protocol version %i', (version) => {
  it('changes nothing about packets within the limit, however the stream is cut', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({ topic: fc.constant('a/b'), bytes: fc.nat(250), qos: fc.constantFrom(0, 1) }),
          {
            minLength: 1,
            maxLength: 5,
          },
        ),
        fc.array(fc.nat(5_000)),
        (messages, cuts) => {
          const stream = Buffer.concat(messages.map((one, index) => packetOf(one, index, version)));
          const { bytes, shortened } = shorten(stream, cuts, version);
          expect(bytes.equals(stream)).toBe(true);
          expect(shortened).toEqual([]);
        },
      ),
    );
  });

  it('hands on every publish with its topic and id, of long ones the first 4 KiB', () => {
    fc.assert(
      fc.property(
        fc.array(message, { minLength: 1, maxLength: 5 }),
        fc.array(fc.nat(100_000)),
        (messages, cuts) => {
          const sent = messages.map((one, index) => packetOf(one, index, version));
          const { packets, shortened } = shorten(Buffer.concat(sent), cuts, version);
          expect(packets).toHaveLength(messages.length);
          const long = sent.map(bodyBytes).filter((bytes) => bytes > MOST);
          expect(shortened.map(({ announcedBytes }) => announcedBytes)).toEqual(long);
          messages.forEach(({ topic, bytes, qos }, index) => {
            const packet = packets[index];
            if (packet?.cmd !== 'publish') throw new Error('no publish');
            expect([packet.topic, packet.qos]).toEqual([topic, qos]);
            if (qos === 1) expect(packet.messageId).toBe(index + 1);
            const isLong = bodyBytes(sent[index] ?? Buffer.alloc(0)) > MOST;
            const payload = Buffer.alloc(isLong ? Math.min(bytes, 4096) : bytes, index + 1);
            expect(payload.equals(Buffer.from(packet.payload))).toBe(true);
          });
        },
      ),
    );
  });
});

describe('packet shortener', () => {
  const feed = (bytes: readonly number[]): unknown =>
    new PacketShortener({ mostPacketBytes: MOST, isVersion5: true, onShortened: () => {} }).feed(
      Buffer.from(bytes),
    );

  it('refuses a length field of more than four bytes', () => {
    expect(() => feed([0x30, 0xff, 0xff, 0xff, 0xff, 0x01])).toThrow(/more than four bytes/);
  });

  it('refuses a long packet that is no publish', () => {
    expect(() => feed([0x90, 0xff, 0x7f])).toThrow(/type 9 with 16383 bytes/);
  });

  it('keeps little of a message of many megabytes while it comes', () => {
    const shortened: ShortenedPublish[] = [];
    const shortener = new PacketShortener({
      mostPacketBytes: MOST,
      isVersion5: false,
      onShortened: (publish) => shortened.push(publish),
    });
    const megabytes = 64;
    const chunk = Buffer.alloc(1024 * 1024, 7);
    const body = 4 + 3 + megabytes * chunk.length;
    const length = [
      (body % 128) | 0x80,
      ((body >> 7) % 128) | 0x80,
      ((body >> 14) % 128) | 0x80,
      body >> 21,
    ];
    const out = [...shortener.feed(Buffer.from([0x32, ...length, 0, 3, 97, 47, 98, 0, 9]))];
    for (let sent = 0; sent < megabytes; sent++) out.push(...shortener.feed(chunk));
    expect(Buffer.concat(out).length).toBeLessThan(4096 + 20);
    expect(shortened).toMatchObject([{ topic: 'a/b', messageId: 9, announcedBytes: body }]);
  });
});
