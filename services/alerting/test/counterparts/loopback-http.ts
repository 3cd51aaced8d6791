import { createServer, type IncomingMessage } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Answering } from './counterpart.ts';

export interface HttpRequest {
  readonly headers: IncomingMessage['headers'];
  readonly method: string;
  readonly body: Buffer;
}

export interface LoopbackHttp {
  readonly origin: string;
  answer(how: Answering): void;
  close(): Promise<void>;
}

export const BUSY_SECONDS = 7;

const STATUS: Readonly<Record<Exclude<Answering, 'accepts' | 'hangs'>, number>> = {
  'is-busy': 429,
  'is-broken': 503,
  refuses: 400,
  'says-gone': 410,
};

/** A server that answers as told; `take` gives the status of what it accepts. */
export async function loopbackHttp(take: (request: HttpRequest) => number): Promise<LoopbackHttp> {
  let answering: Answering = 'accepts';
  const server = createServer((request, response) => {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => {
      if (answering === 'hangs') return;
      const { headers, method = '' } = request;
      const taken = { headers, method, body: Buffer.concat(chunks) };
      if (answering === 'is-busy') response.setHeader('retry-after', BUSY_SECONDS);
      response.statusCode = answering === 'accepts' ? take(taken) : STATUS[answering];
      response.end('so it is');
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    origin: `http://127.0.0.1:${port}`,
    answer: (how) => {
      answering = how;
    },
    close: async () => {
      if (!server.listening) return;
      const closed = new Promise((resolve) => server.close(resolve));
      server.closeAllConnections();
      await closed;
    },
  };
}
