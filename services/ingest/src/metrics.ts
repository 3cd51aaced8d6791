import { Counter, Histogram, type Registry } from 'prom-client';
import { type IngestGauges, registerGauges } from './metric-gauges.ts';

export interface IngestMetrics {
  readonly packs: Counter;
  readonly readingsStored: Counter;
  readonly valuesStored: Counter;
  readonly duplicateValues: Counter;
  readonly quarantined: Counter<'code'>;
  readonly storeFailures: Counter<'store'>;
  readonly signInsRefused: Counter;
  readonly commitSeconds: Histogram;
  readonly commitReadings: Histogram;
  readonly eventToCommitSeconds: Histogram<'delivery'>;
  readonly receiptToCommitSeconds: Histogram;
  readonly judgingRoundSeconds: Histogram;
  readonly readingsJudged: Counter;
  readonly lateReadings: Counter;
  readonly judgeFailures: Counter;
  readonly replays: Counter;
  readonly replaySeconds: Histogram;
}

/** Registers everything that ingest counts. */
export function createIngestMetrics(registry: Registry, gauges: IngestGauges): IngestMetrics {
  registerGauges(registry, gauges);
  const counter = (name: string, help: string): Counter =>
    new Counter({ name, help, registers: [registry] });
  return {
    packs: counter(
      'lineside_packs_total',
      'Telemetry messages received, good or not. Worry when it stands still while nodes are connected.',
    ),
    readingsStored: counter(
      'lineside_readings_stored_total',
      'Readings (one unit, one event time) that were committed, redelivered ones included. Worry ' +
        'when it stands still while lineside_packs_total grows.',
    ),
    valuesStored: counter(
      'lineside_values_stored_total',
      'Channel values that were new. Worry when it stands still while readings are stored.',
    ),
    duplicateValues: counter(
      'lineside_duplicate_values_total',
      'Channel values that were stored already; redelivery after a lost connection is normal. ' +
        'Worry when they outnumber the new ones for an hour: a node repeats itself.',
    ),
    quarantined: new Counter({
      name: 'lineside_quarantined_total',
      help: 'Messages kept in quarantine, by reason code. Worry when one code grows by more than ten an hour.',
      labelNames: ['code'],
      registers: [registry],
    }),
    storeFailures: new Counter({
      name: 'lineside_store_failures_total',
      help: 'Attempts to write that a store refused; each was tried again. Worry when it goes on growing.',
      labelNames: ['store'],
      registers: [registry],
    }),
    signInsRefused: counter(
      'lineside_mqtt_refused_sign_ins_total',
      'Sign-ins to the broker that were refused. Worry when it grows by more than one a minute.',
    ),
    readingsJudged: counter(
      'lineside_readings_judged_total',
      'Readings that watches have seen. Worry when it stands still while readings are stored.',
    ),
    judgeFailures: counter(
      'lineside_judge_failures_total',
      'Events that a watch failed on, a mistake in the program; the log says which. Worry above 0.',
    ),
    lateReadings: counter(
      'lineside_late_readings_total',
      'Readings older than what their unit was judged to, or without the weather of their time ' +
        'at hand; their unit was judged again. Redelivered readings are among them. Worry when most ' +
        'readings are late.',
    ),
    replays: counter(
      'lineside_replays_total',
      'Units judged again from stored readings because something about them came late. ' +
        'Worry when it grows by more than the number of units an hour.',
    ),
    ...histograms(registry),
  };
}

type Histograms = Pick<
  IngestMetrics,
  | 'commitSeconds'
  | 'commitReadings'
  | 'eventToCommitSeconds'
  | 'receiptToCommitSeconds'
  | 'judgingRoundSeconds'
  | 'replaySeconds'
>;

function histograms(registry: Registry): Histograms {
  return {
    replaySeconds: new Histogram({
      name: 'lineside_replay_seconds',
      help: 'Time from the begin of a replay until its outcome was committed. Worry above 60 s.',
      buckets: [0.01, 0.05, 0.1, 0.5, 1, 5, 15, 30, 60],
      registers: [registry],
    }),
    commitSeconds: new Histogram({
      name: 'lineside_commit_seconds',
      help: 'Time from the first attempt to write a batch of readings until it was durable. Worry when half are above 0.5 s.',
      buckets: [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 5, 30],
      registers: [registry],
    }),
    commitReadings: new Histogram({
      name: 'lineside_commit_readings',
      help: 'Readings that one commit held. Worry when most hold 10,000: more comes than is written.',
      buckets: [1, 5, 10, 50, 100, 500, 1_000, 5_000, 10_000],
      registers: [registry],
    }),
    eventToCommitSeconds: new Histogram({
      name: 'lineside_event_to_commit_seconds',
      help:
        'Age of the newest reading of a message when it was committed. delivery="live": it was at ' +
        'most ten minutes old when it came; "backlog": a node sent what it had kept. Worry when ' +
        'half of the live ones take over a minute.',
      labelNames: ['delivery'],
      buckets: [0.1, 0.5, 1, 5, 15, 60, 300, 3_600, 86_400, 864_000],
      registers: [registry],
    }),
    receiptToCommitSeconds: new Histogram({
      name: 'lineside_receipt_to_commit_seconds',
      help:
        'Time from the receipt of a message until it was durable, which is how long its sender ' +
        'waits for the acknowledgement. Worry above 5 s.',
      buckets: [0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 60, 600],
      registers: [registry],
    }),
    judgingRoundSeconds: new Histogram({
      name: 'lineside_judging_round_seconds',
      help:
        'Time of a round of judging, its commit included. The sum over ' +
        'lineside_readings_judged_total is the time of one reading. Worry above 5 s.',
      buckets: [0.001, 0.005, 0.01, 0.05, 0.1, 0.5, 1, 5, 15, 60],
      registers: [registry],
    }),
  };
}
