import { Gauge, type Registry } from 'prom-client';
import type { PartState } from './ingest.ts';
import type { ClockLeads, NodeRate } from './intake/node-traffic.ts';

/** Numbers that are asked for when somebody reads the metrics. */
export interface IngestGauges {
  readonly waitingMessages: () => number;
  readonly waitingBytes: () => number;
  readonly undecodedMessages: () => number;
  readonly unacknowledgedMessages: () => number;
  readonly pendingReadings: () => number;
  readonly connections: () => number;
  readonly refusedConnections: () => number;
  readonly replaysWaiting: () => number;
  readonly states: () => Readonly<Record<string, PartState>>;
  readonly loudest: () => readonly NodeRate[];
  readonly clockLeads: () => ClockLeads | null;
}

/** Registers what is asked for when somebody reads the metrics. */
export function registerGauges(registry: Registry, gauges: IngestGauges): void {
  const gauge = (name: string, help: string, value: () => number): Gauge =>
    new Gauge({
      name,
      help,
      registers: [registry],
      collect() {
        this.set(value());
      },
    });
  gauge(
    'lineside_commit_waiting_bytes',
    'Estimated memory of messages that wait for their commit. Worry when it stays above 50 MB.',
    gauges.waitingBytes,
  );
  gauge(
    'lineside_undecoded_messages',
    'Messages held back undecoded because too much waits; their senders wait for the answer. ' +
      'Worry when it is above 0 for minutes.',
    gauges.undecodedMessages,
  );
  gauge(
    'lineside_unacknowledged_messages',
    'Messages that were received and whose acknowledgement waits for a commit. Worry when it ' +
      'stays above 10,000.',
    gauges.unacknowledgedMessages,
  );
  gauge(
    'lineside_pending_readings',
    'Readings committed and not yet judged, or whose judgement is not committed; late ones ' +
      'included. Worry when it grows for ten minutes.',
    gauges.pendingReadings,
  );
  gauge(
    'lineside_mqtt_connections',
    'Connections to the embedded broker now; with an outside broker 1 while we have ours to it. ' +
      'Worry at 0, and when it falls far below the number of nodes.',
    gauges.connections,
  );
  gauge(
    'lineside_mqtt_refused_connections',
    'Connections turned away since the start because too many stood. Worry above 0.',
    gauges.refusedConnections,
  );
  gauge(
    'lineside_commit_waiting_messages',
    'Messages decoded that wait for their commit. Worry when it stays above 10,000.',
    gauges.waitingMessages,
  );
  gauge(
    'lineside_replays_waiting',
    'Units that wait to be judged again. Worry when it does not fall for an hour.',
    gauges.replaysWaiting,
  );
  registerStates(registry, gauges);
  registerNodes(registry, gauges);
}

const STATES = ['ok', 'degraded', 'down'];

function registerStates(registry: Registry, gauges: IngestGauges): void {
  new Gauge({
    name: 'lineside_part_state',
    help: 'As in /api/health: 0 ok, 1 degraded, 2 down. Worry above 0; the health has the reason.',
    labelNames: ['part'],
    registers: [registry],
    collect() {
      for (const [part, { state }] of Object.entries(gauges.states())) {
        this.set({ part }, STATES.indexOf(state));
      }
    },
  });
}

function registerNodes(registry: Registry, gauges: IngestGauges): void {
  new Gauge({
    name: 'lineside_node_messages_per_second',
    help:
      'Messages a second of the five loudest nodes in the last whole minute; one a minute is ' +
      'usual. Worry when a node stays above 1 without having been away.',
    labelNames: ['node'],
    registers: [registry],
    collect() {
      this.reset();
      for (const { node, perSecond } of gauges.loudest()) this.set({ node }, perSecond);
    },
  });
  new Gauge({
    name: 'lineside_node_clock_lead_seconds',
    help:
      'How far the newest event times of nodes lie ahead of their receipt, over all nodes heard ' +
      'within ten minutes: 10th, 50th and 90th percentile. Negative is usual: the way takes ' +
      'time, and backlogs are old. Worry when the median is above 5 or below -300.',
    labelNames: ['quantile'],
    registers: [registry],
    collect() {
      this.reset();
      const leads = gauges.clockLeads();
      if (leads === null) return;
      this.set({ quantile: '0.1' }, leads.low);
      this.set({ quantile: '0.5' }, leads.median);
      this.set({ quantile: '0.9' }, leads.high);
    },
  });
}
