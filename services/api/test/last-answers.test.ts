import { once } from 'node:events';
import { Agent, get, type IncomingMessage } from 'node:http';
import type { AddressInfo } from 'node:net';
import { expect, it } from 'vitest';
import { openHouse } from './support/house.ts';

/** Far below the time for which an idle connection is kept. */
const WITHIN_MS = 5_000;

it('ends soon after the last answer, although the caller would keep the connection', async () => {
  let answer: (bytes: Uint8Array) => void = () => {};
  let begin: () => void = () => {};
  const begun = new Promise<void>((resolve) => {
    begin = resolve;
  });
  const house = await openHouse({
    telemetry: {
      rangeJson: () => {
        begin();
        return new Promise((resolve) => {
          answer = resolve;
        });
      },
      extremes: async () => [],
      quarters: async () => [],
    },
  });
  await house.app.listen({ host: '127.0.0.1', port: 0 });
  const { port } = house.app.server.address() as AddressInfo;
  const agent = new Agent({ keepAlive: true });
  const request = get({
    port,
    host: '127.0.0.1',
    path: '/api/units/harbour/rtu-01/telemetry',
    headers: { authorization: `Bearer ${await house.token('viewer')}` },
    agent,
  });
  const answered = once(request, 'response');
  await begun;
  const startedAt = performance.now();
  const closed = house.app.close();
  // Idle connections are closed when it stops listening; this one is not idle yet.
  while (house.app.server.listening) await new Promise(setImmediate);
  await new Promise(setImmediate);
  answer(new TextEncoder().encode('{"channels":{}}'));
  const [response]: IncomingMessage[] = await answered;
  response?.resume();
  await closed;
  agent.destroy();
  expect(response?.statusCode).toBe(200);
  expect(performance.now() - startedAt).toBeLessThan(WITHIN_MS);
});
