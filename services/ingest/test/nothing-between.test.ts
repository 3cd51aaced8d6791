import type { Unit } from '@lineside/fleet';
import { judgeHistory, type ServiceEvent, type Snapshot } from '@lineside/judging';
import type { Reading } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { createReplayer } from '../src/replay/create-replayer.ts';
import { QUIET_MS } from '../src/replay/dirty-units.ts';
import { eventually } from './stand-ins/eventually.ts';
import { INVENTED_FLEET } from './stand-ins/invented-fleet.ts';
import { MemoryRecords } from './stand-ins/memory-records.ts';
import { MemoryTelemetry } from './stand-ins/memory-telemetry.ts';
import { NOW_MS, runIngest } from './stand-ins/running-ingest.ts';

const REF = { site: 'harbour-mall', unit: 'rtu-01' };
const MINUTE_MS = 60_000;
const MIDNIGHT_MS = Date.UTC(2026, 0, 9);

function unit(): Unit {
  const found = INVENTED_FLEET.units.find(({ site, id }) => site === REF.site && id === REF.unit);
  if (found === undefined) throw new Error('the invented fleet lacks the unit');
  return found;
}

function wetReading(atMs: number, channels: Reading['channels'] = {}): Reading {
  return { ...REF, atMs, channels: { rh: 96, t: 8, leak: 0.012, ia: 17.2, ...channels } };
}

describe('between what was judged and what comes next nothing is lost', () => {
  it('when channels of the judged instant were committed beside younger readings', async () => {
    const records = new MemoryRecords();
    const telemetry = new MemoryTelemetry();
    const lastMs = NOW_MS - 10 * MINUTE_MS;
    const { leak, ...air } = wetReading(lastMs).channels;
    await telemetry.append([
      wetReading(lastMs - MINUTE_MS),
      { ...REF, atMs: lastMs, channels: air },
    ]);
    await (await runIngest({ records, telemetry })).ingest.close();
    // What a process leaves that is killed right after a commit.
    const rest = { ...REF, atMs: lastMs, channels: leak === undefined ? {} : { leak: 3 * leak } };
    await telemetry.append([rest, wetReading(lastMs + MINUTE_MS)]);
    const { ingest, advanceMs } = await runIngest({ records, telemetry });
    advanceMs(QUIET_MS);
    await eventually(() => expect(ingest.pending()).toBe(0));
    await ingest.close();
    const readings = [...telemetry.stored.values()];
    const judged = judgeHistory({ unit: unit(), readings, weather: [], services: [] });
    const saved = records.checkpointsByUnit.get(`${REF.site}/${REF.unit}`);
    expect(saved?.state).toMatchObject({
      judgement: { watch: JSON.parse(JSON.stringify(judged.state.watch)) },
    });
  });

  it('when a visit was at the time of the first reading of a day', async () => {
    const telemetry = new MemoryTelemetry();
    const times = [-90, -60, -30, 0, 30, 60].map((minutes) => MIDNIGHT_MS + minutes * MINUTE_MS);
    await telemetry.append(times.map((atMs) => wetReading(atMs)));
    const visit: ServiceEvent = { atMs: MIDNIGHT_MS, action: 'inspection', phases: null };
    const replayer = createReplayer(telemetry);
    const through = times.at(-1) ?? 0;
    const replayFrom = (base: Snapshot | null) =>
      replayer.replay({
        ref: REF,
        settings: [{ fromMs: 0, unit: unit() }],
        base,
        throughMs: through,
        services: [visit].filter(({ atMs }) => atMs > (base?.throughMs ?? -1)),
      });
    const whole = await replayFrom(null);
    for (const snapshot of whole.snapshots) {
      expect((await replayFrom(snapshot)).state).toEqual(whole.state);
    }
    // A visit on the day before leaves a snapshot to go on from.
    const early = { ...visit, atMs: MIDNIGHT_MS - 45 * MINUTE_MS };
    const other = await replayer.replay({
      ref: REF,
      settings: [{ fromMs: 0, unit: unit() }],
      base: null,
      throughMs: through,
      services: [early],
    });
    expect(other.snapshots.map(({ throughMs }) => throughMs)).toEqual([times[2]]);
  });
});
