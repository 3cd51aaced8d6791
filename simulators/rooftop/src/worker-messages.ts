import type { Fleet } from '@lineside/fleet';
import type { NodeCredentials } from './publish/node-link.ts';
import type { PublishProgress } from './publish/publish-fleet.ts';
import type { Scenario } from './world/scenario.ts';
import type { ServiceRecord } from './world/technician.ts';

/** What the simulator's thread is started with; plain data. */
export interface SimulatorInput {
  readonly mqttUrl: string;
  /** By `<site>/<unit>`, outdoor stations as unit `weather` included. */
  readonly credentials: Readonly<Record<string, NodeCredentials>>;
  readonly seed: number;
  readonly fleet: Fleet;
  readonly scenario: Scenario;
  readonly historyFromMs: number;
  readonly liveIntervalMs: number;
  readonly live: boolean;
  /** True: service records are posted to the parent, which answers each. */
  readonly postsService: boolean;
}

/** From the thread to its parent. */
export type SimulatorReport =
  | { readonly type: 'progress'; readonly progress: PublishProgress }
  | { readonly type: 'service'; readonly id: number; readonly record: ServiceRecord };

/** From the parent to the thread. */
export type SimulatorOrder =
  | { readonly type: 'stop' }
  | { readonly type: 'service-posted'; readonly id: number; readonly problem: string | null };
