import { WEATHER_LEAD_MS, WEATHER_STALE_MS } from '@lineside/anomaly';
import { WEATHER_UNIT } from '@lineside/readings';
import type { TelemetryStore } from '@lineside/storage';
import { ReplayRun } from './replay-run.ts';
import type { Replayer, ReplayRequest, ReplayResult } from './replayer.ts';
import { StoredReadings } from './stored-readings.ts';

/** Readings judged between two reports are few: the track never has to hold more than it can. */
const WINDOW_MS = 86_400_000;

/** Readings after which others on the thread get a turn: about 5 ms. */
const READINGS_PER_TURN = 2_000;

/** A replayer that works on the caller's thread, a few milliseconds at a time. */
export function createReplayer(telemetry: Pick<TelemetryStore, 'readings'>): Replayer {
  return {
    replay: (request) => replay(telemetry, request),
    close: async () => {},
  };
}

async function replay(
  telemetry: Pick<TelemetryStore, 'readings'>,
  request: ReplayRequest,
): Promise<ReplayResult> {
  const { ref, base, throughMs } = request;
  const run = new ReplayRun(request);
  const fromMs = base === null ? 0 : base.throughMs + 1;
  const readings = new StoredReadings(telemetry, ref, fromMs, throughMs + 1);
  const firstMs = await readings.nextAtMs();
  const station = { site: ref.site, unit: WEATHER_UNIT };
  const weatherFromMs = Math.max(0, (firstMs ?? 0) - WEATHER_STALE_MS);
  const weather = new StoredReadings(telemetry, station, weatherFromMs, throughMs + 1);
  let turn = 0;
  for (let startMs = firstMs; startMs !== null; startMs = await readings.nextAtMs()) {
    const endMs = startMs + WINDOW_MS;
    for await (const report of before(weather, endMs - WEATHER_LEAD_MS)) run.weather(report);
    for await (const reading of before(readings, endMs)) {
      run.reading(reading);
      turn += 1;
      if (turn % READINGS_PER_TURN === 0) await new Promise(setImmediate);
    }
  }
  return run.finish();
}

async function* before(
  stored: StoredReadings,
  toMs: number,
): AsyncGenerator<Awaited<ReturnType<StoredReadings['takeBefore']>>[number]> {
  for (;;) {
    const page = await stored.takeBefore(toMs);
    if (page.length === 0) return;
    yield* page;
  }
}
