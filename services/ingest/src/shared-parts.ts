import { Pauses } from './commit/pause.ts';
import { StoreHealth } from './commit/store-health.ts';
import { FleetIndex } from './fleet-index.ts';
import type { IngestDependencies } from './ingest.ts';
import { NodeTraffic } from './intake/node-traffic.ts';
import { LiveView } from './live-view.ts';
import type { IngestGauges } from './metric-gauges.ts';
import { createIngestMetrics, type IngestMetrics } from './metrics.ts';

/** What several rooms of this service use. */
export interface SharedParts {
  readonly given: IngestDependencies;
  readonly fleet: FleetIndex;
  readonly pauses: Pauses;
  readonly telemetryHealth: StoreHealth;
  readonly recordsHealth: StoreHealth;
  readonly live: LiveView;
  readonly metrics: IngestMetrics;
  readonly traffic: NodeTraffic;
}

/** Nodes whose rate is told by name: enough to see who floods, few enough for any metrics store. */
const LOUDEST_NODES = 5;

export function createSharedParts(
  given: IngestDependencies,
  gauges: Omit<IngestGauges, 'loudest' | 'clockLeads'>,
): SharedParts {
  const traffic = new NodeTraffic(given.clock);
  const metrics = createIngestMetrics(given.metrics, {
    ...gauges,
    loudest: () => traffic.loudest(LOUDEST_NODES),
    clockLeads: () => traffic.clockLeads(),
  });
  const healthOf = (store: string): StoreHealth =>
    new StoreHealth(store, given.log, () => metrics.storeFailures.inc({ store }));
  return {
    given,
    fleet: new FleetIndex(given.fleet),
    pauses: new Pauses(),
    telemetryHealth: healthOf('telemetry'),
    recordsHealth: healthOf('records'),
    live: new LiveView(given.log),
    metrics,
    traffic,
  };
}
