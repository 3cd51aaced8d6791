/** Mosquitto as `lineside broker files` configures it, with passwords. */
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { openRecordStore } from '@lineside/storage';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HAS_MOSQUITTO } from '../contracts/mosquitto-server.ts';
import { type BrokerPlace, ended, heardBy, type SignIn, startBrokerPlace } from './broker-place.ts';
import { eventually } from './eventually.ts';

const OWN_TOPIC = 'lineside/harbour-mall/rtu-01/telemetry';
const PRESENCE = 'lineside/harbour-mall/rtu-01/presence';
const REFUSED = /[Nn]ot authorized|Bad username/;
const MEBIBYTE = 1024 * 1024;

describe.skipIf(!HAS_MOSQUITTO)('Mosquitto with our files (needs Debian package mosquitto)', () => {
  let here: BrokerPlace;
  let first: SignIn;
  let second: SignIn;
  let board: SignIn;
  let wall: SignIn;

  beforeAll(async () => {
    here = await startBrokerPlace(
      () => [],
      async ({ node, reader }) => {
        first = await node('harbour-mall', 'rtu-01');
        second = await node('hilltop-school', 'rtu-11');
        board = await reader('board', ['harbour-mall']);
        wall = await reader('wall', []);
      },
    );
  });
  afterAll(() => here.stop());

  it('starts without a complaint', () => {
    const lines = here.mosquitto.log().split('\n');
    const complaints = lines.filter((line) => /warning|error|unknown|deprecated/i.test(line));
    expect(complaints.filter((line) => !line.includes('should not be run as root'))).toEqual([]);
    expect(lines.join('\n')).toContain('running');
  });

  it('has files that others cannot read, and that stay as they are when nothing changed', async () => {
    const modes = ['passwords', 'access-rules', 'mosquitto.conf', 'lineside-password'].map(
      (name) => statSync(join(here.out, name)).mode & 0o777,
    );
    expect(modes).toEqual([0o640, 0o640, 0o640, 0o600]);
    const before = statSync(join(here.out, 'passwords'));
    await here.filesAndReload();
    expect(statSync(join(here.out, 'passwords')).ino).toBe(before.ino);
  });

  it('lets in who has the right password, and nobody else', async () => {
    await here.connect(first);
    const wrong = [
      { username: first.username, password: second.password },
      { username: first.username, password: `${first.password}x` },
      { username: 'harbour-mall/rtu-02', password: first.password },
      { username: 'lineside', password: first.password },
      {},
    ];
    for (const options of wrong) await expect(here.connect(options)).rejects.toThrow(REFUSED);
  });

  it("takes a node's own topics and its last will, and nothing else of it", async () => {
    const heard = heardBy(await subscribed(here, ['lineside/#', 'lineside-house/#', 'other/#']));
    const will = {
      topic: PRESENCE,
      payload: Buffer.from('offline'),
      qos: 1,
      retain: true,
    } as const;
    const node = await here.connect({ ...first, will });
    const foreign = [
      'lineside/harbour-mall/rtu-02/telemetry',
      'lineside/hilltop-school/rtu-11/telemetry',
      'lineside/harbour-mall/rtu-01/alarm/leakage',
      'lineside/harbour-mall/rtu-01/telemetry/more',
      'lineside-house/ask',
      'other/topic',
    ];
    for (const topic of foreign) await node.publishAsync(topic, 'foreign', { qos: 1 });
    await node.publishAsync(PRESENCE, 'online', { qos: 1, retain: true });
    await node.publishAsync(OWN_TOPIC, 'own', { qos: 1 });
    node.stream.destroy();
    const wanted = [`${PRESENCE} online`, `${OWN_TOPIC} own`, `${PRESENCE} offline`];
    await eventually(
      async () => heard.length,
      (count) => count >= wanted.length,
    );
    expect(heard).toEqual(wanted);
  });

  it('gives a reader the alarms of its sites, and nothing that is no alarm', async () => {
    const ours = await here.house();
    const readers = [await here.connect(board), await here.connect(wall)];
    for (const reader of readers) await reader.subscribeAsync('#', { qos: 1 });
    const [heardByBoard = [], heardByWall = []] = readers.map(heardBy);
    const alarms = ['harbour-mall/rtu-01', 'hilltop-school/rtu-11', 'harbour-mall/rtu-02'].map(
      (unit) => `lineside/${unit}/alarm/leakage`,
    );
    await readers[0]?.publishAsync(alarms[0] ?? '', 'forged', { qos: 1 });
    await ours.publishAsync('lineside/harbour-mall/rtu-01/telemetry', 'reading', { qos: 1 });
    await ours.publishAsync('lineside-house/ask', 'question', { qos: 1 });
    for (const topic of alarms) await ours.publishAsync(topic, 'alarm', { qos: 1 });
    await eventually(
      async () => heardByWall.length,
      (count) => count >= 3,
    );
    await eventually(
      async () => heardByBoard.length,
      (count) => count >= 2,
    );
    expect(heardByWall).toEqual(alarms.map((topic) => `${topic} alarm`));
    expect(heardByBoard).toEqual([`${alarms[0]} alarm`, `${alarms[2]} alarm`]);
  });

  it('does not let a node take over a session of our own by its client id', async () => {
    const clientId = 'lineside-ingest';
    const ours = await here.house({ clientId, clean: false });
    await ours.subscribeAsync(OWN_TOPIC, { qos: 1 });
    const heard = heardBy(ours);
    const node = await here.connect({ ...first, clientId });
    await node.publishAsync(OWN_TOPIC, 'still heard', { qos: 1 });
    await eventually(
      async () => heard.length,
      (count) => count >= 1,
    );
    expect(ours.connected).toBe(true);
  });

  it('ends the connection that sends more than a message may have, not one that is full', async () => {
    const node = await here.connect(first);
    await node.publishAsync(OWN_TOPIC, Buffer.alloc(MEBIBYTE), { qos: 1 });
    node.publish(OWN_TOPIC, Buffer.alloc(MEBIBYTE + 4096), { qos: 1 });
    await ended(node);
  });

  it('ends the connection of a node that was revoked, and refuses the next, at SIGHUP', async () => {
    const [revoked, other] = [await here.connect(first), await here.connect(second)];
    const { stdout } = await here.run(['node', 'revoke', 'harbour-mall', 'rtu-01']);
    expect(stdout).toBe('revoked harbour-mall/rtu-01\n');
    await here.filesAndReload();
    await ended(revoked);
    await expect(here.connect(first)).rejects.toThrow(REFUSED);
    expect(other.connected).toBe(true);
    first = await here.node('harbour-mall', 'rtu-01');
    await here.filesAndReload();
    await eventually(
      () =>
        here.connect(first).then(
          () => true,
          () => false,
        ),
      (isIn) => isIn,
    );
  });

  it('ends the connection that has an old password, at SIGHUP', async () => {
    const old = second;
    const node = await here.connect(old);
    second = await here.node('hilltop-school', 'rtu-11');
    await here.filesAndReload();
    await ended(node);
    await expect(here.connect(old)).rejects.toThrow(REFUSED);
    await here.connect(second);
  });

  it('lets in no reader that was removed', async () => {
    const reader = await here.connect(board);
    await here.run(['broker', 'reader', 'board', '--remove']);
    await here.filesAndReload();
    await ended(reader);
    await expect(here.connect(board)).rejects.toThrow(REFUSED);
  });

  it('lets in no unit that left the fleet', async () => {
    const node = await here.connect(second);
    const fleet = readFileSync(here.fleetFile, 'utf8');
    writeFileSync(here.fleetFile, fleet.replace('id: rtu-11', 'id: rtu-12'));
    await here.filesAndReload();
    await ended(node);
    await expect(here.connect(second)).rejects.toThrow(REFUSED);
  });

  it('names nodes whose password Mosquitto cannot be told of, status 1', async () => {
    const records = await openRecordStore({ file: join(here.data, 'records.db') });
    const known = await records.nodeCredential('harbour-mall/rtu-01');
    if (known === null) throw new Error('there is no such credential');
    await records.setNodeCredential({ ...known, mosquittoHash: null });
    await records.close();
    const files = ['broker', 'files', '--fleet', here.fleetFile, '--out', here.out];
    const { stderr, stdout } = await here.run(files, 1);
    expect(stderr).toContain('lineside node create harbour-mall rtu-01 --data');
    expect(stdout).toContain('Restart Mosquitto');
  });
});

async function subscribed(here: BrokerPlace, topics: string[]) {
  const client = await here.house();
  await client.subscribeAsync(topics, { qos: 1 });
  return client;
}
