import { Counter, Gauge, Histogram, type Registry } from 'prom-client';

export interface IngestMetrics {
  readonly packs: Counter;
  readonly readingsStored: Counter;
  readonly valuesStored: Counter;
  readonly duplicateValues: Counter;
  readonly quarantined: Counter<'code'>;
  readonly storeFailures: Counter;
  readonly commitSeconds: Histogram;
  readonly commitReadings: Histogram;
  readonly eventToCommitSeconds: Histogram;
  readonly readingsJudged: Counter;
  readonly lateReadings: Counter;
  readonly judgeFailures: Counter;
  readonly replays: Counter;
  readonly replaySeconds: Histogram;
}

/** Numbers that are asked for when somebody reads the metrics. */
export interface IngestGauges {
  readonly waitingBytes: () => number;
  readonly undecodedMessages: () => number;
  readonly unacknowledgedMessages: () => number;
  readonly pendingReadings: () => number;
  readonly connections: () => number;
  readonly refusedConnections: () => number;
}

/** Registers everything that ingest counts. */
export function createIngestMetrics(registry: Registry, gauges: IngestGauges): IngestMetrics {
  registerGauges(registry, gauges);
  const counter = (name: string, help: string): Counter =>
    new Counter({ name, help, registers: [registry] });
  return {
    packs: counter('lineside_packs_total', 'Telemetry messages received, good or not.'),
    readingsStored: counter(
      'lineside_readings_stored_total',
      'Readings (one unit, one event time) that were committed, redelivered ones included.',
    ),
    valuesStored: counter('lineside_values_stored_total', 'Channel values that were new.'),
    duplicateValues: counter(
      'lineside_duplicate_values_total',
      'Channel values that were stored already; redelivery after a lost connection is normal.',
    ),
    quarantined: new Counter({
      name: 'lineside_quarantined_total',
      help: 'Messages kept in quarantine, by reason code.',
      labelNames: ['code'],
      registers: [registry],
    }),
    storeFailures: counter(
      'lineside_store_failures_total',
      'Attempts to write that a store refused; each was tried again.',
    ),
    readingsJudged: counter('lineside_readings_judged_total', 'Readings that watches have seen.'),
    judgeFailures: counter(
      'lineside_judge_failures_total',
      'Events that a watch failed on, a mistake in the program; the log says which.',
    ),
    lateReadings: counter(
      'lineside_late_readings_total',
      'Readings older than what their unit was judged to, or without the weather of their time ' +
        'at hand; their unit was judged again. Redelivered readings are among them.',
    ),
    replays: counter(
      'lineside_replays_total',
      'Units judged again from stored readings because something about them came late.',
    ),
    ...histograms(registry),
  };
}

type Histograms = Pick<
  IngestMetrics,
  'commitSeconds' | 'commitReadings' | 'eventToCommitSeconds' | 'replaySeconds'
>;

function histograms(registry: Registry): Histograms {
  return {
    replaySeconds: new Histogram({
      name: 'lineside_replay_seconds',
      help: 'Time from the begin of a replay until its outcome was committed.',
      buckets: [0.01, 0.05, 0.1, 0.5, 1, 5, 15, 30, 60],
      registers: [registry],
    }),
    commitSeconds: new Histogram({
      name: 'lineside_commit_seconds',
      help: 'Time from the first attempt to write a batch of readings until it was durable.',
      buckets: [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 5, 30],
      registers: [registry],
    }),
    commitReadings: new Histogram({
      name: 'lineside_commit_readings',
      help: 'Readings that one commit held.',
      buckets: [1, 5, 10, 50, 100, 500, 1_000, 5_000, 10_000],
      registers: [registry],
    }),
    eventToCommitSeconds: new Histogram({
      name: 'lineside_event_to_commit_seconds',
      help: 'Age of the newest reading of a message when it was committed; large for backlogs.',
      buckets: [0.1, 0.5, 1, 5, 15, 60, 300, 3_600, 86_400, 864_000],
      registers: [registry],
    }),
  };
}

function registerGauges(registry: Registry, gauges: IngestGauges): void {
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
    'Estimated memory of messages that wait for their commit.',
    gauges.waitingBytes,
  );
  gauge(
    'lineside_undecoded_messages',
    'Messages held back undecoded because too much waits; their senders wait for the answer.',
    gauges.undecodedMessages,
  );
  gauge(
    'lineside_unacknowledged_messages',
    'Messages that were received and whose acknowledgement waits for a commit.',
    gauges.unacknowledgedMessages,
  );
  gauge(
    'lineside_pending_readings',
    'Readings committed and not yet judged, or whose judgement is not committed.',
    gauges.pendingReadings,
  );
  gauge(
    'lineside_mqtt_connections',
    'Connections to the embedded broker now; with an outside broker 1 while we have ours to it.',
    gauges.connections,
  );
  gauge(
    'lineside_mqtt_refused_connections',
    'Connections turned away since the start because too many stood.',
    gauges.refusedConnections,
  );
}
