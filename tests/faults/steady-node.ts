import { connect, type Socket } from 'node:net';
import { generate } from 'mqtt-packet';

const CONNACK = 0x20;
const PUBACK = 0x40;
const PACKET_BYTES = 4;
/** 16 bits, and 0 is none: MQTT 3.1.1 section 2.3.1. */
const PACKET_IDS = 65_535;
const PAUSE_BEFORE_CONNECTING_MS = 500;

export interface SteadyNodeSettings {
  readonly clientId: string;
  readonly username: string;
  readonly password: string;
  readonly topic: string;
  /** `host:port` of the broker. */
  readonly broker: string;
  /** Messages that may be under way. */
  readonly window: number;
  /** Time without any answer after which the connection counts as dead. */
  readonly patienceMs: number;
  /** Message number `index`, from 0. */
  payload(index: number): string;
}

/**
 * A node that makes messages by the clock and keeps each until it is acknowledged; when the
 * connection ends or stays silent it connects again and sends what was not acknowledged again.
 */
export class SteadyNode {
  readonly #settings: SteadyNodeSettings;
  #socket: Socket | null = null;
  #isSignedIn = false;
  #connectAtMs = 0;
  #heardAtMs = 0;
  #rest: Buffer = Buffer.alloc(0);
  readonly #underWay = new Map<number, number>();
  /** Everything below it is acknowledged. */
  #through = 0;
  readonly #acknowledgedBeyond = new Set<number>();
  #next = 0;
  #resent = 0;
  #sentBefore = 0;

  constructor(settings: SteadyNodeSettings) {
    this.#settings = settings;
  }

  /** Messages that were acknowledged, each counted once. */
  get acknowledged(): number {
    return this.#through + this.#acknowledgedBeyond.size;
  }

  /** Messages that were sent again. */
  get resent(): number {
    return this.#resent;
  }

  get isConnected(): boolean {
    return this.#isSignedIn;
  }

  /** Sends what may be sent of the first `due` messages; to be called often. */
  pump(due: number, nowMs: number): void {
    if (this.#socket === null) {
      if (nowMs >= this.#connectAtMs) this.#connect(nowMs);
      return;
    }
    const isWaiting = !this.#isSignedIn || this.#underWay.size > 0;
    if (isWaiting && nowMs - this.#heardAtMs > this.#settings.patienceMs) {
      this.#lose(this.#socket, nowMs);
      return;
    }
    if (this.#isSignedIn) this.#send(this.#socket, due, nowMs);
  }

  end(): void {
    this.#connectAtMs = Infinity;
    if (this.#socket !== null) this.#lose(this.#socket, Infinity);
  }

  #connect(nowMs: number): void {
    const { broker, clientId, username, password } = this.#settings;
    const [host, port] = broker.split(':');
    const socket = connect({ host, port: Number(port), noDelay: true });
    this.#socket = socket;
    this.#heardAtMs = nowMs;
    const session = { protocolId: 'MQTT', protocolVersion: 4, clean: true, keepalive: 0 } as const;
    const signIn = { clientId, username, password: Buffer.from(password) };
    socket.on('connect', () => socket.write(generate({ cmd: 'connect', ...session, ...signIn })));
    socket.on('data', (bytes) => this.#receive(bytes));
    // A close follows.
    socket.on('error', () => {});
    socket.on('close', () => {
      if (this.#socket === socket) this.#lose(socket, performance.now());
    });
  }

  #lose(socket: Socket, nowMs: number): void {
    this.#socket = null;
    socket.destroy();
    this.#isSignedIn = false;
    this.#rest = Buffer.alloc(0);
    this.#underWay.clear();
    this.#sentBefore = Math.max(this.#sentBefore, this.#next);
    this.#next = this.#through;
    this.#connectAtMs = nowMs + PAUSE_BEFORE_CONNECTING_MS;
  }

  #send(socket: Socket, due: number, nowMs: number): void {
    // Whoever waits for nothing hears nothing; patience begins with the first message.
    if (this.#underWay.size === 0) this.#heardAtMs = nowMs;
    const { topic, window, payload } = this.#settings;
    socket.cork();
    while (this.#next < due && this.#underWay.size < window) {
      const index = this.#next++;
      if (this.#acknowledgedBeyond.has(index)) continue;
      if (index < this.#sentBefore) this.#resent++;
      const messageId = (index % PACKET_IDS) + 1;
      this.#underWay.set(messageId, index);
      const flags = { qos: 1, dup: false, retain: false } as const;
      socket.write(
        generate({ cmd: 'publish', topic, payload: payload(index), messageId, ...flags }),
      );
    }
    socket.uncork();
  }

  #receive(chunk: Buffer): void {
    this.#heardAtMs = performance.now();
    const bytes = this.#rest.length > 0 ? Buffer.concat([this.#rest, chunk]) : chunk;
    let at = 0;
    for (; at + PACKET_BYTES <= bytes.length; at += PACKET_BYTES) {
      const type = bytes[at];
      if (type === CONNACK && bytes[at + 3] === 0) this.#isSignedIn = true;
      else if (type === PUBACK) this.#take(bytes.readUInt16BE(at + 2));
      else throw new Error(`unexpected packet: ${bytes.toString('hex', at, at + PACKET_BYTES)}`);
    }
    this.#rest = bytes.subarray(at);
  }

  #take(messageId: number): void {
    const index = this.#underWay.get(messageId);
    if (index === undefined) throw new Error(`acknowledged ${messageId}, which is not under way`);
    this.#underWay.delete(messageId);
    this.#acknowledgedBeyond.add(index);
    while (this.#acknowledgedBeyond.delete(this.#through)) this.#through++;
  }
}
