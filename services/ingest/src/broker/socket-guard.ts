import type { Duplex } from 'node:stream';
import { MESSAGE_MOST_BYTES } from '@lineside/readings';
import { type OversizePacket, PacketMeter } from './packet-meter.ts';

/** Most bytes of a packet after its fixed header; the extra room is for topic and packet id. */
const MOST_PACKET_BYTES = MESSAGE_MOST_BYTES + 1024;

/** Most bytes of CONNECT: client id, will, user name and password are a few hundred bytes. */
const MOST_CONNECT_BYTES = 16 * 1024;

export interface GuardListener {
  /** Called whenever bytes arrived. */
  readonly heard: () => void;
  /** Called once, before the connection is destroyed. */
  readonly oversize: (packet: OversizePacket) => void;
}

/**
 * Stands between a socket and the broker's parser, which would buffer whatever length a packet
 * announces. The broker pulls its bytes with `read()`, below TLS as well, so that is where they
 * are looked at.
 */
export function guardSocket(socket: Duplex, listener: GuardListener): void {
  const meter = new PacketMeter({
    firstPacketBytes: MOST_CONNECT_BYTES,
    packetBytes: MOST_PACKET_BYTES,
  });
  const read = socket.read.bind(socket);
  socket.read = (size?: number): Buffer | null => {
    const chunk: Buffer | null = read(size);
    if (chunk === null) {
      return null;
    }
    listener.heard();
    const verdict = meter.feed(chunk);
    if (verdict === 'pass') {
      return chunk;
    }
    if (verdict === 'malformed') {
      socket.destroy(new Error('MQTT length field with more than four bytes'));
    } else if (verdict !== 'wait') {
      listener.oversize(verdict);
      socket.destroy(new Error(`MQTT packet of ${verdict.announcedBytes} bytes is too large`));
    }
    return null;
  };
}
