import { connect as connectSocket, isIP, type Socket } from 'node:net';
import { Duplex } from 'node:stream';
import { connect as connectTls } from 'node:tls';
import type { OutsideBrokerSettings } from './outside-settings.ts';
import type { PacketShortener } from './packet-shortener.ts';

/** Begins a connection over TCP, or TLS with verification of certificate and host name. */
export function openSocket({ host, port, tls }: OutsideBrokerSettings): Socket {
  const address = { host, port, noDelay: true, keepAlive: true };
  if (tls === null) return connectSocket(address);
  return connectTls({
    ...address,
    minVersion: 'TLSv1.2',
    rejectUnauthorized: true,
    // Server Name Indication takes names only, RFC 6066 section 3.
    ...(isIP(host) === 0 ? { servername: host } : {}),
    ...(tls.ca === null ? {} : { ca: tls.ca }),
    ...(tls.certificate === null ? {} : { cert: tls.certificate }),
    ...(tls.key === null ? {} : { key: tls.key }),
  });
}

/**
 * A socket whose incoming bytes pass the shortener. Who does not read from it keeps the socket from
 * being read, so that the broker's end fills up and it stops sending.
 */
export class GuardedStream extends Duplex {
  readonly #socket: Socket;
  readonly #onBytes: () => void;

  constructor(socket: Socket, shortener: PacketShortener, onBytes: () => void) {
    super({ autoDestroy: true });
    this.#socket = socket;
    this.#onBytes = onBytes;
    socket.on('data', (chunk: Buffer) => this.#take(chunk, shortener));
    socket.on('end', () => this.push(null));
    socket.on('error', (error) => this.destroy(error));
    socket.on('close', () => this.destroy());
  }

  #take(chunk: Buffer, shortener: PacketShortener): void {
    this.#onBytes();
    try {
      for (const bytes of shortener.feed(chunk)) {
        if (!this.push(bytes)) this.#socket.pause();
      }
    } catch (error) {
      this.destroy(error instanceof Error ? error : new Error(String(error)));
    }
  }

  override _read(): void {
    this.#socket.resume();
  }

  override _write(chunk: Buffer, _encoding: string, done: (error?: Error | null) => void): void {
    if (this.#socket.write(chunk)) done();
    else this.#socket.once('drain', done);
  }

  override _final(done: (error?: Error | null) => void): void {
    this.#socket.end();
    done();
  }

  override _destroy(error: Error | null, done: (error?: Error | null) => void): void {
    this.#socket.destroy();
    done(error);
  }
}
