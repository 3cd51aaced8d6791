import { once } from 'node:events';
import { createServer, type IncomingMessage } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface TakenRequest {
  readonly method: string;
  readonly path: string;
  readonly query: URLSearchParams;
  readonly authorization: string | null;
  readonly body: string;
}

export interface Reply {
  readonly status: number;
  readonly body?: unknown;
  readonly headers?: Readonly<Record<string, string>>;
}

/** Answers like an InfluxDB of any version, as far as a test says, and keeps what it was asked. */
export interface PretendedServer {
  readonly url: string;
  readonly taken: TakenRequest[];
  close(): Promise<void>;
}

/** @param reply null leaves the answer to what a server of the version does when all is well. */
export async function pretendServer(
  version: string,
  reply: (request: TakenRequest) => Reply | null = () => null,
): Promise<PretendedServer> {
  const taken: TakenRequest[] = [];
  const server = createServer(async (request, response) => {
    const one = await takenFrom(request);
    taken.push(one);
    const said = reply(one) ?? usualReply(one);
    response.writeHead(said.status, {
      'content-type': 'application/json',
      'x-influxdb-version': version,
      ...said.headers,
    });
    response.end(said.body === undefined ? undefined : JSON.stringify(said.body));
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${port}`,
    taken,
    close: async () => {
      server.closeAllConnections();
      server.close();
      await once(server, 'close');
    },
  };
}

async function takenFrom(request: IncomingMessage): Promise<TakenRequest> {
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part);
  const url = new URL(request.url ?? '', 'http://here');
  return {
    method: request.method ?? '',
    path: url.pathname,
    query: url.searchParams,
    authorization: request.headers.authorization ?? null,
    body: Buffer.concat(parts).toString('utf8'),
  };
}

function usualReply({ path, query }: TakenRequest): Reply {
  if (path !== '/query') return { status: 204 };
  const statements = (query.get('q') ?? '').split('; ');
  return { status: 200, body: { results: statements.map((_, n) => ({ statement_id: n })) } };
}
