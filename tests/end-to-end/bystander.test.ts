/** What happens when the server goes, with the real command, processes and sockets. */
import { existsSync } from 'node:fs';
import { createServer, type IncomingHttpHeaders } from 'node:http';
import type { AddressInfo } from 'node:net';
import { Webhook } from 'standardwebhooks';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { BystanderPlace } from './bystander-place.ts';
import { eventually } from './eventually.ts';
import { token } from './installation.ts';
import { startServerProcess, temporaryPlace } from './server-process.ts';

let place: BystanderPlace;

beforeEach(() => {
  place = new BystanderPlace();
});

afterEach(() => place.dispose());

const told = (count: number) =>
  eventually(
    async () => place.told(),
    (pages) => pages.length >= count,
    { withinMs: 20_000 },
  );

/** Processes are looked for where Linux lists them. */
const hasProcesses = existsSync('/proc/self/cmdline');

describe.skipIf(!hasProcesses)('the bystander', () => {
  it('tells the office of a killed server, and of one that works again, under one key', async () => {
    const first = await place.serve();
    const [before] = await place.untilBystanders(1);
    await first.kill();
    expect((await told(1))[0]).toMatchObject({
      title: 'Lineside has stopped: nobody is alarmed',
      priority: 'urgent',
    });
    expect(place.bystanders()).toEqual([before]);

    const second = await place.serve();
    const [, again] = await told(2);
    expect(again).toMatchObject({ title: 'Lineside works again', key: place.told()[0]?.key });
    const [after] = await place.untilBystanders(1);
    expect(after).not.toBe(before);
    await second.stop();
    expect(place.bystanders()).toEqual([]);
    expect(place.told()).toHaveLength(2);
    expect(place.phones.forged).toBe(0);
  });

  it('says nothing after a server that was told to stop, and leaves no process', async () => {
    const server = await place.serve();
    await place.untilBystanders(1);
    expect(await server.stop()).toBe(0);
    expect(place.bystanders()).toEqual([]);
    await new Promise((resolve) => setTimeout(resolve, 2_500));
    expect(place.told()).toEqual([]);
  });

  it('says nothing of a server that is there again within the grace time', async () => {
    const slow = { LINESIDE_CRASH_GRACE_SECONDS: '20' };
    const first = await place.serve(slow);
    const [before] = await place.untilBystanders(1);
    await first.kill();
    await place.serve(slow);
    const after = await eventually(
      async () => place.bystanders(),
      (all) => all.length === 1 && all[0] !== before,
    );
    expect(after).toHaveLength(1);
    expect(place.told()).toEqual([]);
  });

  it('tells of a killed server although a start after it fails', async () => {
    const grace = { LINESIDE_CRASH_GRACE_SECONDS: '8' };
    const first = await place.serve(grace);
    const port = new URL(first.http).port;
    const [before] = await place.untilBystanders(1);
    await first.kill();
    const other = createServer();
    await new Promise<void>((resolve) => other.listen(Number(port), '127.0.0.1', resolve));
    const failed = place.serve({ ...grace, LINESIDE_HTTP_PORT: port });
    await expect(failed).rejects.toThrow(/the port is in use/);
    await new Promise((resolve) => other.close(resolve));
    expect(place.told()).toEqual([]);
    await told(1);
    const [after] = await place.untilBystanders(1);
    expect(after).not.toBe(before);
  });

  it('lives on in the metrics, which know the age of each heartbeat', async () => {
    const server = await place.serve();
    const office = await token(place.data, ['--role', 'office']);
    const headers = { authorization: `Bearer ${office}` };
    const text = await (await fetch(`${server.http}/metrics`, { headers })).text();
    const ages = [...text.matchAll(/^lineside_heartbeat_age_seconds\{part="(\w+)"\} (\S+)$/gm)];
    const parts = ['ingest', 'judging', 'paging', 'delivery', 'bystander'];
    expect(ages.map(([, part]) => part)).toEqual(parts);
    expect(ages.every(([, , age]) => Number(age) < 10)).toBe(true);
  });

  it('is not there while nobody could be told', async () => {
    const bare = temporaryPlace();
    const server = await startServerProcess(bare);
    expect(server.stderr()).not.toContain('bystander');
    await server.kill();
    bare.dispose();
    expect(place.bystanders()).toEqual([]);
  });
});

describe.skipIf(!hasProcesses)('the ping', () => {
  it('is signed, says how it stands, and needs no contact point', async () => {
    const calls: { headers: IncomingHttpHeaders; body: string }[] = [];
    const outside = createServer((request, response) => {
      const parts: Buffer[] = [];
      request.on('data', (part: Buffer) => parts.push(part));
      request.on('end', () => {
        calls.push({ headers: request.headers, body: Buffer.concat(parts).toString('utf8') });
        response.writeHead(204).end();
      });
    });
    await new Promise<void>((resolve) => outside.listen(0, '127.0.0.1', resolve));
    const secret = `whsec_${Buffer.alloc(32, 9).toString('base64')}`;
    try {
      const { port } = outside.address() as AddressInfo;
      const server = await place.serve({
        LINESIDE_CONTACTS: '',
        LINESIDE_PING_URL: `http://127.0.0.1:${port}/alive`,
        LINESIDE_PING_SECRET: secret,
      });
      await eventually(
        async () => calls.length,
        (count) => count > 0,
      );
      const [{ headers, body } = { headers: {}, body: '' }] = calls;
      const call = new Webhook(secret).verify(body, headers as Record<string, string>);
      expect(call).toMatchObject({
        type: 'alive',
        data: { lastCommit: null, judgingPending: 0, pagesWaiting: 0, oldestPageWaiting: null },
      });
      await server.stop();
      expect(calls).toHaveLength(1);
    } finally {
      outside.closeAllConnections();
      await new Promise((resolve) => outside.close(resolve));
    }
  });
});
