/**
 * A fleet of nodes in a process of its own: raw sockets, prepared frames, a window of unacknowledged
 * packs each. It costs little itself, so that the server is what is measured. Prints one JSON line.
 */
import { connect, type Socket } from 'node:net';
import { argv, stderr, stdout } from 'node:process';
import { generate } from 'mqtt-packet';
import { type LoadOptions, PACK_SHAPES } from './load-options.ts';

const options = JSON.parse(argv[2] ?? '{}') as LoadOptions;
const shape = PACK_SHAPES[options.shape];

/** `"bt":` is followed by ten digits in every pack, which are written over for each one. */
const TIME_MARK = '"bt":';
const PUBACK_BYTES = 4;
const CONNACK = 0x20;
const PUBACK = 0x40;

class Node {
  private readonly socket: Socket;
  private readonly frame: Buffer;
  private readonly idOffset: number;
  private readonly timeOffset: number;
  private readonly finished: () => void;
  private sent = 0;
  private acknowledged = 0;
  private rest: Buffer = Buffer.alloc(0);

  constructor(index: number, connected: () => void, finished: () => void) {
    const node = options.nodes[index];
    if (node === undefined) throw new Error(`no node ${index}`);
    const payload = Buffer.from(shape.payload(options.startSeconds));
    this.frame = generate({
      cmd: 'publish',
      topic: node.topic,
      payload,
      qos: 1,
      messageId: 1,
      dup: false,
      retain: false,
    });
    const payloadOffset = this.frame.length - payload.length;
    this.idOffset = payloadOffset - 2;
    this.timeOffset = payloadOffset + payload.indexOf(TIME_MARK) + TIME_MARK.length;
    this.finished = finished;
    this.socket = connect({ port: options.port, host: '127.0.0.1', noDelay: true });
    this.socket.on('connect', () => {
      this.socket.write(
        generate({
          cmd: 'connect',
          protocolId: 'MQTT',
          protocolVersion: 4,
          clean: true,
          clientId: `load-${index}`,
          keepalive: 0,
          username: node.username,
          password: Buffer.from(node.password),
        }),
      );
    });
    this.socket.on('data', (bytes) => this.receive(bytes, connected));
    this.socket.on('error', (error) => stderr.write(`load: ${error.message}\n`));
  }

  /** Sends as many packs as the window allows, in one write. */
  pump(): void {
    const count = Math.min(
      options.window - (this.sent - this.acknowledged),
      options.packsPerNode - this.sent,
    );
    if (count <= 0) return;
    const bytes = Buffer.allocUnsafe(count * this.frame.length);
    for (let i = 0; i < count; i++) {
      const at = i * this.frame.length;
      this.frame.copy(bytes, at);
      bytes.writeUInt16BE((this.sent % 65_535) + 1, at + this.idOffset);
      const seconds = options.startSeconds + this.sent * shape.secondsPerPack;
      bytes.write(String(seconds), at + this.timeOffset, 'latin1');
      this.sent++;
    }
    this.socket.write(bytes);
  }

  end(): void {
    this.socket.destroy();
  }

  private receive(chunk: Buffer, connected: () => void): void {
    const bytes = this.rest.length > 0 ? Buffer.concat([this.rest, chunk]) : chunk;
    let at = 0;
    let acknowledged = 0;
    for (; at + PUBACK_BYTES <= bytes.length; at += PUBACK_BYTES) {
      if (bytes[at] === PUBACK) acknowledged++;
      else if (bytes[at] === CONNACK && bytes[at + 3] === 0) connected();
      else throw new Error(`unexpected packet: ${bytes.subarray(at, at + 4).toString('hex')}`);
    }
    this.rest = bytes.subarray(at);
    if (acknowledged === 0) return;
    this.acknowledged += acknowledged;
    if (this.acknowledged === options.packsPerNode) this.finished();
    else this.pump();
  }
}

let up = 0;
let done = 0;
let startedAt = 0;
const nodes: Node[] = [];

function connected(): void {
  up++;
  if (up < options.nodes.length) {
    if (nodes.length < options.nodes.length) addNode();
    return;
  }
  startedAt = performance.now();
  for (const node of nodes) node.pump();
}

function finished(): void {
  done++;
  if (done < options.nodes.length) return;
  const seconds = (performance.now() - startedAt) / 1000;
  const packs = options.nodes.length * options.packsPerNode;
  stdout.write(`${JSON.stringify({ packs, seconds })}\n`);
  for (const node of nodes) node.end();
}

function addNode(): void {
  nodes.push(new Node(nodes.length, connected, finished));
}

addNode();
