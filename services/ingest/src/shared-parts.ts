import { Pauses } from './commit/pause.ts';
import { StoreHealth } from './commit/store-health.ts';
import { FleetIndex } from './fleet-index.ts';
import type { IngestDependencies } from './ingest.ts';
import { LiveView } from './live-view.ts';
import { createIngestMetrics, type IngestGauges, type IngestMetrics } from './metrics.ts';

/** What several rooms of this service use. */
export interface SharedParts {
  readonly given: IngestDependencies;
  readonly fleet: FleetIndex;
  readonly pauses: Pauses;
  readonly telemetryHealth: StoreHealth;
  readonly recordsHealth: StoreHealth;
  readonly live: LiveView;
  readonly metrics: IngestMetrics;
}

export function createSharedParts(given: IngestDependencies, gauges: IngestGauges): SharedParts {
  return {
    given,
    fleet: new FleetIndex(given.fleet),
    pauses: new Pauses(),
    telemetryHealth: new StoreHealth('telemetry', given.log),
    recordsHealth: new StoreHealth('records', given.log),
    live: new LiveView(given.log),
    metrics: createIngestMetrics(given.metrics, gauges),
  };
}
