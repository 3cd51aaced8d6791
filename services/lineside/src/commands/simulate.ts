import type { Fleet } from '@lineside/fleet';
import {
  demoScenario,
  fleetScenario,
  readDemoFleet,
  type Scenario,
  startSimulator,
} from '@lineside/rooftop';
import { openRecordStore } from '@lineside/storage';
import { openDataFolder } from '../data-folder.ts';
import { fleetFrom } from '../fleet-from-file.ts';
import { untilToldToStop } from '../serve/stop-signal.ts';
import { reachBroker } from '../simulation/broker-address.ts';
import { issueNodeCredentials } from '../simulation/credentials.ts';
import { untilNodesMayCome } from '../simulation/nodes-may-come.ts';
import { SimulationProgress } from '../simulation/progress.ts';
import { LIVE_INTERVAL_MS, MS_PER_DAY, wholeNumber } from '../simulation/span.ts';
import { dataFolderFrom } from './serve.ts';

export interface SimulateOptions {
  readonly fleet?: string;
  readonly data?: string;
  readonly mqtt: string;
  readonly days: string;
  readonly seed: string;
  readonly live: boolean;
}

/**
 * Plays a fleet to a running server over MQTT. The nodes' sign-ins are made (rotated) in the
 * server's data folder, as `lineside node create` does.
 */
export async function simulate(options: SimulateOptions): Promise<void> {
  const days = wholeNumber('--days', options.days, [0, 400]);
  const seed = wholeNumber('--seed', options.seed, [0, 0xffff_ffff]);
  await reachBroker(options.mqtt);
  const fleet = options.fleet === undefined ? readDemoFleet() : fleetFrom(options.fleet);
  const folder = openDataFolder(dataFolderFrom(options.data));
  const records = await openRecordStore({ file: folder.records });
  const credentials = await issueNodeCredentials(records, fleet, Date.now());
  await records.close();
  await untilNodesMayCome(options.mqtt, credentials, (words) => process.stderr.write(`${words}\n`));

  const nowMs = Date.now();
  const progress = new SimulationProgress(nowMs - days * MS_PER_DAY, nowMs);
  const simulator = startSimulator({
    mqttUrl: options.mqtt,
    credentials,
    seed,
    fleet,
    scenario: scenarioFor(options, fleet, seed, nowMs, days),
    historyFromMs: nowMs - days * MS_PER_DAY,
    liveIntervalMs: LIVE_INTERVAL_MS,
    live: options.live,
    onProgress: (step) => {
      const line = progress.take(step);
      if (line !== null) process.stderr.write(`${line}\n`);
    },
  });
  const stop = untilToldToStop().then(() => simulator.stop());
  await Promise.race([simulator.ended, stop]);
}

function scenarioFor(
  options: SimulateOptions,
  fleet: Fleet,
  seed: number,
  nowMs: number,
  historyDays: number,
): Scenario {
  if (options.fleet === undefined) return demoScenario(nowMs);
  return fleetScenario({ fleet, seed, nowMs, historyDays });
}
