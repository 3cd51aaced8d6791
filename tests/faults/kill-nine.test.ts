/**
 * The promise behind a PUBACK: whatever was acknowledged is stored, once, although the server is
 * killed under load again and again.
 */
import mqtt from 'mqtt';
import { afterAll, describe, expect, it } from 'vitest';
import { nodeSignIn, token } from '../end-to-end/installation.ts';
import {
  type ServerProcess,
  startServerProcess,
  temporaryPlace,
} from '../end-to-end/server-process.ts';
import { AcknowledgedLoad, leakAmpsAt, storedLeak } from './acknowledged-load.ts';

const KILLS = 20;
/** Different moments of a commit's life; fixed, so that a failure can be repeated. */
const KILL_AFTER_MS = [40, 90, 150, 230, 310];
const UNITS = [
  ['harbour-mall', 'rtu-01'],
  ['harbour-mall', 'rtu-02'],
  ['hilltop-school', 'rtu-11'],
] as const;

describe(`${KILLS} kills under load`, () => {
  const place = temporaryPlace();
  let server: ServerProcess;
  afterAll(async () => {
    await server.kill();
    place.dispose();
  });

  it('lose nothing that was acknowledged and store nothing twice', {
    timeout: 180_000,
  }, async () => {
    const startMs = Math.floor(Date.now() / 1000) * 1000 - 86_400_000;
    const acknowledged = new Map<string, number[]>(UNITS.map(([, unit]) => [unit, []]));
    const nextMs = new Map<string, number>(UNITS.map(([, unit]) => [unit, startMs]));
    server = await startServerProcess(place);
    const signIns = await Promise.all(
      UNITS.map(([site, unit]) => nodeSignIn(place.data, site, unit)),
    );

    for (let kill = 0; kill < KILLS; kill++) {
      const clients = await Promise.all(
        signIns.map((signIn) =>
          mqtt.connectAsync(server.mqtt, { ...signIn, reconnectPeriod: 0, clean: true }),
        ),
      );
      for (const client of clients) client.on('error', () => {});
      const loads = UNITS.map(
        ([site, unit], index) =>
          new AcknowledgedLoad(
            clients[index]!,
            `lineside/${site}/${unit}/telemetry`,
            nextMs.get(unit)!,
          ),
      );
      await new Promise((resolve) =>
        setTimeout(resolve, KILL_AFTER_MS[kill % KILL_AFTER_MS.length]),
      );
      await server.kill();
      await Promise.all(clients.map((client) => client.endAsync(true)));
      UNITS.forEach(([, unit], index) => {
        nextMs.set(unit, loads[index]!.stop());
        acknowledged.get(unit)!.push(...loads[index]!.acknowledged);
      });
      server = await startServerProcess(place);
    }

    const office = await token(place.data, ['--role', 'office']);
    for (const [site, unit] of UNITS) {
      const stored = await storedLeak(server, office, site, unit, startMs, nextMs.get(unit)!);
      const times = stored.map(([atMs]) => atMs!);
      expect(new Set(times).size).toBe(times.length);
      const known = new Set(times);
      expect(acknowledged.get(unit)!.length).toBeGreaterThan(KILLS);
      expect(acknowledged.get(unit)!.filter((atMs) => !known.has(atMs))).toEqual([]);
      for (const [atMs, min, , max] of stored) {
        expect([min, max]).toEqual([leakAmpsAt(atMs!), leakAmpsAt(atMs!)]);
      }
    }
  });
});
