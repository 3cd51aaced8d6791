import { createServer, type Server } from 'node:http';
import { createServer as createTlsServer } from 'node:https';
import { type AddressInfo, createServer as createTcpServer, type Socket } from 'node:net';
import { afterEach, describe, expect, it } from 'vitest';
import { SERVER_CERTIFICATE, SERVER_KEY } from '../../ingest/test/stand-ins/test-certificates.ts';
import { createOutsideGuard, type OutsideGuard } from '../src/channels/outside-guard.ts';
import { type Answer, postOutside } from '../src/channels/post-outside.ts';
import { LOOPBACK } from './counterparts/counterpart.ts';

const closing = new AbortController().signal;
const servers: Array<{ close(): unknown }> = [];

afterEach(() => {
  for (const server of servers.splice(0)) server.close();
});

async function portOf(server: Server | ReturnType<typeof createTcpServer>): Promise<number> {
  servers.push(server);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return (server.address() as AddressInfo).port;
}

const loopback: OutsideGuard = createOutsideGuard({
  allow: LOOPBACK,
  resolve: async () => [{ address: '127.0.0.1', family: 4 }],
});

function post(url: string, guard = loopback, timeoutMs = 5000): Promise<Answer> {
  const body = Buffer.from('{}');
  return postOutside(guard, { url: new URL(url), headers: {}, body, timeoutMs, closing });
}

describe('a post to the outside', () => {
  it('connects to the address that was checked and resolves the name no second time', async () => {
    const hosts: string[] = [];
    const port = await portOf(
      createServer((request, response) => {
        hosts.push(request.headers.host ?? '');
        response.end();
      }),
    );
    let resolved = 0;
    const guard = createOutsideGuard({
      allow: LOOPBACK,
      resolve: async () => {
        resolved += 1;
        return [{ address: '127.0.0.1', family: 4 }];
      },
    });
    const answer = await post(`http://no-such-name.invalid:${port}/`, guard);
    expect(answer).toMatchObject({ kind: 'answered', status: 200 });
    expect(hosts).toEqual([`no-such-name.invalid:${port}`]);
    expect(resolved).toBe(1);
  });

  it('calls nobody when the guard says no', async () => {
    let calls = 0;
    const port = await portOf(
      createServer((_request, response) => {
        calls += 1;
        response.end();
      }),
    );
    const answer = await post(`http://127.0.0.1:${port}/`, createOutsideGuard({ allow: [] }));
    expect(answer.kind).toBe('not-allowed');
    expect(calls).toBe(0);
  });

  it('does not go where a redirect points', async () => {
    const paths: string[] = [];
    const port = await portOf(
      createServer((request, response) => {
        paths.push(request.url ?? '');
        response.writeHead(307, { location: '/elsewhere' }).end();
      }),
    );
    expect(await post(`http://127.0.0.1:${port}/here`)).toMatchObject({ status: 307 });
    expect(paths).toEqual(['/here']);
  });

  it('asks a TLS server by its name, and trusts no certificate of an unknown authority', async () => {
    const names: string[] = [];
    const server = createTlsServer({
      key: SERVER_KEY,
      cert: SERVER_CERTIFICATE,
      SNICallback: (name, done) => {
        names.push(name);
        done(null);
      },
    });
    server.on('tlsClientError', () => {});
    const port = await portOf(server);
    const answer = await post(`https://gate.example:${port}/`);
    expect(answer).toMatchObject({ kind: 'no-answer' });
    expect(JSON.stringify(answer)).toMatch(/UNABLE_TO_VERIFY|SELF_SIGNED/);
    expect(names).toEqual(['gate.example']);
  });

  it('reads no body: one that never ends changes nothing', async () => {
    const open = new Set<Socket>();
    const port = await portOf(
      createTcpServer((socket) => {
        open.add(socket);
        socket.on('error', () => {});
        socket.write('HTTP/1.1 200 OK\r\ncontent-length: 99999999999\r\n\r\n');
        const more = setInterval(() => socket.write('x'.repeat(65_536)), 1);
        socket.on('close', () => clearInterval(more));
      }),
    );
    expect(await post(`http://127.0.0.1:${port}/`)).toMatchObject({ status: 200 });
    await new Promise((resolve) => setImmediate(resolve));
    for (const socket of open) socket.destroy();
  });

  it.each([
    ['words that are no HTTP', 'SSH-2.0-door\r\n'],
    ['a head that is far too long', `HTTP/1.1 200 OK\r\nx: ${'y'.repeat(100_000)}\r\n\r\n`],
    ['half a head', 'HTTP/1.1 200 O'],
  ])('takes %s for no answer', async (_what, words) => {
    const port = await portOf(
      createTcpServer((socket) => {
        socket.on('error', () => {});
        socket.end(words);
      }),
    );
    expect(await post(`http://127.0.0.1:${port}/`)).toMatchObject({ kind: 'no-answer' });
  });

  it('ends in time while a name is being resolved', async () => {
    const guard = createOutsideGuard({ allow: [], resolve: () => new Promise(() => {}) });
    const answer = await post('https://gate.example/', guard, 50);
    expect(answer).toEqual({ kind: 'no-answer', reason: 'no answer within 50 ms' });
  });
});
