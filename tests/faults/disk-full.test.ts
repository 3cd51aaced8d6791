/** A disk that fills up under load: nothing acknowledged is lost, and room is all that it takes. */
import { execFileSync } from 'node:child_process';
import {
  closeSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  rmSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import mqtt, { type MqttClient } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from '../end-to-end/eventually.ts';
import { nodeSignIn, token } from '../end-to-end/installation.ts';
import {
  lineside,
  type ServerProcess,
  startServerProcess,
  temporaryPlace,
} from '../end-to-end/server-process.ts';
import { AcknowledgedLoad, storedLeak } from './acknowledged-load.ts';

const MIB = 1024 * 1024;
const DISK_MIB = 24;
const BALLAST_MIB = 16;
const UNIT = ['harbour-mall', 'rtu-01'] as const;

const IS_ROOT = process.getuid?.() === 0;
const disk = mkdtempSync(join(tmpdir(), 'lineside-disk-'));
const HAS_DISK: boolean = IS_ROOT && mounted();

function mounted(): boolean {
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${DISK_MIB}m`, 'tmpfs', disk]);
    return true;
  } catch {
    return false;
  }
}

afterAll(() => {
  if (HAS_DISK) execFileSync('umount', ['-l', disk]);
  rmSync(disk, { recursive: true, force: true });
});

describe.skipIf(!HAS_DISK)('a full disk (needs root, to mount a small one)', () => {
  const { fleetFile, dispose } = temporaryPlace();
  const place = { data: join(disk, 'data'), fleetFile };
  const ballast = join(disk, 'ballast');
  const startMs = Math.floor(Date.now() / 1000) * 1000 - 5 * 86_400_000;
  let server: ServerProcess;
  let office: string;
  let node: MqttClient;
  let load: AcknowledgedLoad;

  const health = async (): Promise<{
    state: string;
    telemetry: { state: string; reason: string | null };
    records: { state: string; reason: string | null };
  }> => {
    const answer = await fetch(`${server.http}/api/health`);
    return (await answer.json()) as Awaited<ReturnType<typeof health>>;
  };

  beforeAll(async () => {
    mkdirSync(place.data);
    server = await startServerProcess(place);
    office = await token(place.data, ['--role', 'office']);
    const signIn = await nodeSignIn(place.data, ...UNIT);
    node = await mqtt.connectAsync(server.mqtt, { ...signIn, reconnectPeriod: 0 });
    writeFileSync(ballast, Buffer.alloc(BALLAST_MIB * MIB));
    load = new AcknowledgedLoad(node, `lineside/${UNIT.join('/')}/telemetry`, startMs);
  });
  afterAll(async () => {
    await node.endAsync(true);
    await server.kill();
    dispose();
  });

  it('withholds acknowledgements and says so, and goes on running', async () => {
    const full = await eventually(health, ({ state }) => state === 'down', { withinMs: 50_000 });
    expect(`${full.telemetry.reason} ${full.records.reason}`).toMatch(
      /disk full: .*make room|free/,
    );
    const before = load.acknowledged.length;
    await new Promise((resolve) => setTimeout(resolve, 3_000));
    expect(load.acknowledged.length).toBeLessThanOrEqual(before + 20);
    expect(server.process.exitCode).toBe(null);
    expect((await health()).state).toBe('down');
  });

  it('goes on by itself once there is room, and has lost nothing', async () => {
    const before = load.acknowledged.length;
    rmSync(ballast);
    await eventually(
      async () => load.acknowledged.length,
      (now) => now > before + 500,
      { withinMs: 40_000 },
    );
    const endMs = load.stop();
    const ok = await eventually(health, ({ telemetry }) => telemetry.state !== 'down');
    expect(ok.records.state).not.toBe('down');
    const stored = await storedLeak(server, office, ...UNIT, startMs, endMs);
    const times = new Set(stored.map(([atMs]) => atMs));
    expect(times.size).toBe(stored.length);
    expect(load.acknowledged.filter((atMs) => !times.has(atMs))).toEqual([]);
  });

  it('ends cleanly while it is full, and starts again no sooner than there is room', async () => {
    fill(ballast);
    expect(await server.stop()).toBe(0);
    const backup = ['backup', '--data', place.data, '--out', join(disk, 'backup.tgz')];
    expect((await lineside(backup)).stderr).toContain('no space left for');
    // It waits where there is something to judge first, and ends where there is not.
    let isReady = false;
    const starting = startServerProcess(place).then(
      (started) => {
        isReady = true;
        return started;
      },
      (error: unknown) => String(error),
    );
    await new Promise((resolve) => setTimeout(resolve, 3_000));
    expect(isReady).toBe(false);
    rmSync(ballast);
    expect(readdirSync(disk)).toEqual(['data']);
    const started = await starting;
    if (typeof started === 'string') expect(started).toContain('no space left');
    server = typeof started === 'string' ? await startServerProcess(place) : started;
    expect((await health()).state).not.toBe('down');
  });
});

/** Writes zeros until nothing more fits. */
function fill(file: string): void {
  const zeros = Buffer.alloc(64 * 1024);
  const handle = openSync(file, 'w');
  try {
    while (writeSync(handle, zeros) === zeros.length);
  } catch (error) {
    expect(error).toMatchObject({ code: 'ENOSPC' });
  } finally {
    closeSync(handle);
  }
}
