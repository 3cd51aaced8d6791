import { Duplex } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { Unacknowledged } from '../src/outside-broker/unacknowledged.ts';

/** Collects what is written to it, write by write. */
class Sink extends Duplex {
  readonly writes: Buffer[] = [];

  override _read(): void {}

  override _write(chunk: Buffer, _encoding: string, done: () => void): void {
    this.writes.push(chunk);
    done();
  }

  ids(): number[] {
    const bytes = Buffer.concat(this.writes);
    return Array.from({ length: bytes.length / 4 }, (_, index) => {
      expect([bytes[index * 4], bytes[index * 4 + 1]]).toEqual([0x40, 2]);
      return bytes.readUInt16BE(index * 4 + 2);
    });
  }
}

const LIMITS = { messages: 4, bytes: 100 };

describe('what is not acknowledged', () => {
  it('is acknowledged in the order in which it came, in one write', async () => {
    const sink = new Sink();
    const open = new Unacknowledged(sink, LIMITS);
    const settle = [300, 7, 65_535].map((id) => open.take(id, 1));
    settle[2]?.();
    settle[1]?.();
    await Promise.resolve();
    expect(sink.writes).toEqual([]);
    settle[0]?.();
    await Promise.resolve();
    expect(sink.ids()).toEqual([300, 7, 65_535]);
    expect(sink.writes).toHaveLength(1);
    expect(open.messages).toBe(0);
  });

  it('holds reading up at the most messages, and goes on when half are settled', () => {
    const open = new Unacknowledged(new Sink(), LIMITS);
    let rooms = 0;
    const room = (): void => {
      rooms += 1;
    };
    const settle = [1, 2, 3, 4].map((id) => {
      const done = open.take(id, 1);
      open.whenRoom(room);
      return done;
    });
    expect([rooms, open.isHeld]).toEqual([3, true]);
    settle[0]?.();
    expect([rooms, open.isHeld]).toEqual([3, true]);
    settle[3]?.();
    expect([rooms, open.isHeld]).toEqual([4, false]);
  });

  it('counts bytes as well, also of messages that need no acknowledgement', () => {
    const open = new Unacknowledged(new Sink(), LIMITS);
    let rooms = 0;
    const settle = open.take(null, 100);
    open.whenRoom(() => {
      rooms += 1;
    });
    expect(rooms).toBe(0);
    settle();
    expect(rooms).toBe(1);
  });

  it('writes nothing to a connection that has ended', async () => {
    const sink = new Sink();
    const open = new Unacknowledged(sink, LIMITS);
    const settle = open.take(1, 1);
    sink.destroy();
    settle();
    await Promise.resolve();
    expect(sink.writes).toEqual([]);
  });
});
