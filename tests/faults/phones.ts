/** A receiver of pages on loopback: every person's phone. */
import { randomBytes } from 'node:crypto';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { Webhook } from 'standardwebhooks';

export interface ReceivedPage {
  readonly person: string;
  /** `webhook-id`: what repeats are told by. */
  readonly id: string;
  readonly body: string;
  readonly atMs: number;
}

export class Phones {
  readonly received: ReceivedPage[] = [];
  readonly secret: string = `whsec_${randomBytes(24).toString('base64')}`;
  /** Pages whose signature was not ours. */
  forged = 0;
  readonly #answerAfterMs: () => number;
  readonly #onPage: (page: ReceivedPage) => void;
  readonly #server: Server;
  #port = 0;

  /** @param answerAfterMs how long a phone takes for its answer. */
  constructor(answerAfterMs: () => number, onPage: (page: ReceivedPage) => void = () => {}) {
    this.#answerAfterMs = answerAfterMs;
    this.#onPage = onPage;
    this.#server = createServer((request, response) => {
      const parts: Buffer[] = [];
      request.on('data', (part: Buffer) => parts.push(part));
      request.on('end', () => {
        const body = Buffer.concat(parts).toString('utf8');
        this.#take((request.url ?? '/').slice(1), request.headers, body);
        setTimeout(() => response.writeHead(204).end(), this.#answerAfterMs());
      });
    });
  }

  async listen(): Promise<void> {
    await new Promise<void>((resolve) => this.#server.listen(0, '127.0.0.1', resolve));
    this.#port = (this.#server.address() as AddressInfo).port;
  }

  /** The contacts file in which each of these people has one phone, `phone-<person>`. */
  contactsFile(people: readonly string[]): string {
    const lines = people.map((person) => {
      const url = `http://127.0.0.1:${this.#port}/${person}`;
      return `  phone-${person}: { webhook: { url: "${url}", secret: "${this.secret}" } }\n`;
    });
    return `contacts:\n${lines.join('')}`;
  }

  async close(): Promise<void> {
    this.#server.closeAllConnections();
    await new Promise<void>((resolve) => this.#server.close(() => resolve()));
  }

  #take(person: string, headers: NodeJS.Dict<string | string[]>, body: string): void {
    const id = String(headers['webhook-id']);
    try {
      new Webhook(this.secret).verify(body, {
        'webhook-id': id,
        'webhook-timestamp': String(headers['webhook-timestamp']),
        'webhook-signature': String(headers['webhook-signature']),
      });
    } catch {
      this.forged += 1;
      return;
    }
    const page = { person, id, body, atMs: Date.now() };
    this.received.push(page);
    this.#onPage(page);
  }
}
