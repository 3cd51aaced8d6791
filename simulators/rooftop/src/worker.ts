/** Thread that plays a fleet to a broker. Started by `startSimulator`. */
import { parentPort, workerData } from 'node:worker_threads';
import type { NodeCredentials } from './publish/node-link.ts';
import { publishFleet } from './publish/publish-fleet.ts';
import type { SimulatorInput, SimulatorOrder, SimulatorReport } from './worker-messages.ts';
import type { ServiceRecord } from './world/technician.ts';
import { createWorld } from './world/world.ts';

const input = workerData as SimulatorInput;
const port = parentPort;
if (port === null) throw new Error('this file runs as a worker thread only; use startSimulator');

const stop = new AbortController();
const unanswered = new Map<number, { resolve: () => void; reject: (reason: Error) => void }>();
let lastId = 0;

function report(message: SimulatorReport): void {
  port?.postMessage(message);
}

function postService(record: ServiceRecord): Promise<void> {
  lastId += 1;
  const id = lastId;
  report({ type: 'service', id, record });
  return new Promise((resolve, reject) => {
    unanswered.set(id, { resolve, reject });
  });
}

function credentialsOf(site: string, unit: string): NodeCredentials {
  const credentials = input.credentials[`${site}/${unit}`];
  if (credentials === undefined) throw new Error(`no credentials were given for ${site}/${unit}`);
  return credentials;
}

port.on('message', (order: SimulatorOrder) => {
  if (order.type === 'stop') {
    stop.abort();
    for (const { resolve } of unanswered.values()) resolve();
    return;
  }
  const waiting = unanswered.get(order.id);
  unanswered.delete(order.id);
  if (order.problem === null) waiting?.resolve();
  else waiting?.reject(new Error(order.problem));
});

try {
  await publishFleet({
    mqttUrl: input.mqttUrl,
    credentials: credentialsOf,
    world: createWorld({
      seed: input.seed,
      fleet: input.fleet,
      scenario: input.scenario,
      startMs: input.scenario.startMs,
    }),
    historyFromMs: input.historyFromMs,
    nowMs: () => Date.now(),
    signal: stop.signal,
    live: input.live,
    liveIntervalMs: input.liveIntervalMs,
    onProgress: (progress) => report({ type: 'progress', progress }),
    ...(input.postsService ? { postService } : {}),
  });
} finally {
  // The thread ends by itself once nothing listens any more.
  port.close();
}
