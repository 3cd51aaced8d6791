/**
 * The broker under load, in a process of its own. Three of them are compared:
 * `count` is the bare library with an acknowledgement per pack and nothing else, `store` adds
 * decoding and commits, `all` adds the watches. Prints its port, then nothing.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { argv, stdout } from 'node:process';
import { applyFleet, type Fleet, parseFleetFile, toFleet } from '@lineside/fleet';
import { hashSecret, startIngest } from '@lineside/ingest';
import { openRecordStore, openTelemetryStore } from '@lineside/storage';
import { Aedes } from 'aedes';
import { pino } from 'pino';
import { Registry } from 'prom-client';
import { fleetText, secretOf, UNIT_NAMES, unitUsername } from './bench-fleet.ts';

export type BrokerVariant = 'count' | 'store' | 'all';

const variant = argv[2] as BrokerVariant;

if (variant === 'count') await countOnly();
else await lineside(variant === 'all');

async function countOnly(): Promise<void> {
  const broker = await Aedes.createBroker({
    authenticate: (_client, _username, _password, done) => done(null, true),
    authorizePublish: (_client, _packet, done) => done(null),
  });
  const server = createServer(broker.handle);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  stdout.write(`${(server.address() as AddressInfo).port}\n`);
}

async function lineside(judging: boolean): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'lineside-bench-'));
  const records = await openRecordStore({ file: join(folder, 'records.db') });
  const telemetry = await openTelemetryStore({ folder: join(folder, 'telemetry') });
  for (const { site, unit } of UNIT_NAMES) {
    const username = unitUsername(site, unit);
    await records.setNodeCredential({
      site,
      unit,
      username,
      secretHash: hashSecret(secretOf(username)),
      mosquittoHash: null,
      createdAtMs: 0,
    });
  }
  const fleet = benchFleet(judging);
  const ingest = await startIngest({
    telemetry,
    records,
    fleet: () => fleet,
    clock: () => Date.now(),
    log: pino({ level: 'error' }, pino.destination(2)),
    metrics: new Registry(),
    settings: { mqttHost: '127.0.0.1', mqttPort: 0, tls: null, retentionDays: 400 },
  });
  process.on('SIGTERM', () => {
    rmSync(folder, { recursive: true, force: true });
    process.exit(0);
  });
  stdout.write(`${ingest.mqttPort}\n`);
}

/** Readings of retired units are stored but not judged: that is the path without watches. */
function benchFleet(judging: boolean): Fleet {
  const fleet = toFleet(applyFleet(null, parseFleetFile(fleetText(), 'bench-fleet.yaml')));
  if (judging) return fleet;
  return { ...fleet, units: fleet.units.map((unit) => ({ ...unit, retired: true })) };
}
