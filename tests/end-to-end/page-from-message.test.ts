/** The whole way: a reading, an alarm, a message to whoever is on call, its link, and an answer. */
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import mqtt from 'mqtt';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { nodeSignIns } from '../faults/paged-place.ts';
import { Phones } from '../faults/phones.ts';
import { eventually } from './eventually.ts';
import { token } from './installation.ts';
import { minutePack } from './packs.ts';
import { type ServerProcess, startServerProcess, temporaryPlace } from './server-process.ts';

const MINUTE_MS = 60_000;

const ROTA = `
people:
  - { id: ana, name: Ana Reyes, contacts: [phone-ana] }
  - { id: ben, name: Ben Okafor, contacts: [phone-ben] }
office: { name: Front desk, contacts: [phone-desk] }
teams:
  - id: north
    name: North crew
    zone: America/Halifax
    sites: [harbour-mall, hilltop-school]
    first:
      - { from: 2024-01-01, handOver: { weekday: monday, time: "08:00" }, people: [ana] }
    second:
      - { from: 2024-01-01, handOver: { weekday: monday, time: "08:00" }, people: [ben] }
`;

interface OpenedPage {
  readonly for: string;
  readonly buttons: string;
  readonly alarms: readonly { readonly id: string; readonly headline: string }[];
}

let place: ReturnType<typeof temporaryPlace>;
let phones: Phones;
let server: ServerProcess;
let office: string;

beforeAll(async () => {
  place = temporaryPlace();
  phones = new Phones(() => 0);
  await phones.listen();
  const unit = { site: 'harbour-mall', unit: 'rtu-01' };
  const [node] = await nodeSignIns(place.data, [unit]);
  server = await startServerProcess(place, {
    ...crew(dirname(place.fleetFile)),
    LINESIDE_PUBLIC_URL: 'http://lineside.example',
  });
  office = await token(place.data, ['--role', 'office']);
  const { username = '', password = '' } = node ?? {};
  const client = await mqtt.connectAsync(server.mqtt, { username, password, reconnectPeriod: 0 });
  const nowMs = Math.floor(Date.now() / MINUTE_MS) * MINUTE_MS;
  const topic = 'lineside/harbour-mall/rtu-01/telemetry';
  // Within ten minutes: what comes later is backlog, and waits a moment for its end.
  const quiet = minutePack(nowMs - 240 * MINUTE_MS, 235, 1.2);
  await client.publishAsync(topic, quiet, { qos: 1 });
  await client.publishAsync(topic, minutePack(nowMs - 5 * MINUTE_MS, 5, 14), { qos: 1 });
  await client.endAsync();
});

afterAll(async () => {
  await server.stop();
  await phones.close();
  place.dispose();
});

/** Writes who is on call, and their phones; gives the settings that name the files. */
function crew(folder: string): Record<string, string> {
  const files = {
    LINESIDE_ROTA: join(folder, 'rota.yaml'),
    LINESIDE_CONTACTS: join(folder, 'contacts.yaml'),
  };
  writeFileSync(files.LINESIDE_ROTA, ROTA);
  const contacts = phones.contactsFile(['ana', 'ben', 'desk']);
  writeFileSync(files.LINESIDE_CONTACTS, contacts, { mode: 0o600 });
  return { ...files, LINESIDE_WEBHOOK_ALLOW: '127.0.0.1/32' };
}

/** The path of the link in the first message to somebody. */
async function linkTo(person: string): Promise<string> {
  const messages = await eventually(
    async () => phones.received.filter((page) => page.person === person),
    (found) => found.length > 0,
    { withinMs: 30_000 },
  );
  const url = /"(http:\/\/lineside\.example\/p\/[^"]+)"/.exec(messages[0]?.body ?? '')?.[1];
  expect(url).toBeDefined();
  return new URL(url ?? '').pathname;
}

/** A device with its cookie. */
function device() {
  let cookie = '';
  return async (path: string, body?: object): Promise<{ status: number; page: OpenedPage }> => {
    const answer = await fetch(`${server.http}${path}`, {
      method: body === undefined ? 'GET' : 'POST',
      headers: { cookie, ...(body === undefined ? {} : { 'content-type': 'application/json' }) },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    cookie = answer.headers.get('set-cookie')?.split(';')[0] ?? cookie;
    return { status: answer.status, page: (await answer.json()) as OpenedPage };
  };
}

it('opens what the message links to, hands it on, and the next in line answers', async () => {
  const mine = (await linkTo('ana')).replace('/p/', '/api/pages/');
  const phone = device();
  const { page } = await phone(mine);
  expect(page).toMatchObject({ for: 'Ana Reyes', buttons: 'free' });
  const alarm = page.alarms[0]?.id ?? '';
  expect(page.alarms[0]?.headline).toMatch(/Leakage to ground 14 mA/);
  expect((await phone(`${mine}/hand-on`, { alarm })).status).toBe(200);

  const theirs = (await linkTo('ben')).replace('/p/', '/api/pages/');
  expect(theirs).not.toBe(mine);
  expect((await phone(theirs)).page.for).toBe('Ben Okafor');
  expect((await device()(`${theirs}/on-my-way`, { alarm })).status).toBe(200);
  expect((await phone(`${theirs}/on-my-way`, { alarm })).status).toBe(409);

  const headers = { authorization: `Bearer ${office}` };
  const answer = await fetch(`${server.http}/api/alarms/${alarm}`, { headers });
  expect(await answer.json()).toMatchObject({
    state: 'acknowledged',
    acknowledgedBy: 'Ben Okafor (page)',
  });
  const [, signature = ''] = mine.split('.');
  expect(server.stderr() + server.stdout()).not.toContain(signature);
});
