import { Broker } from './broker/broker.ts';
import type { BrokerDoor, MakeBroker } from './broker/broker-door.ts';
import { BatchWriter } from './commit/batch-writer.ts';
import { CommitQueue } from './commit/commit-queue.ts';
import type {
  Ingest,
  IngestDependencies,
  IngestPulse,
  IngestSettings,
  PartState,
  Trouble,
} from './ingest.ts';
import { clockVerdict } from './intake/clock-verdict.ts';
import { MessageIntake } from './intake/message-intake.ts';
import { TrafficNotes } from './intake/traffic-notes.ts';
import { createJudgingParts, type JudgingParts } from './judging/judging-parts.ts';
import { restoreWatches } from './judging/restore.ts';
import { ServiceTail } from './judging/service-tail.ts';
import { OutsideBroker } from './outside-broker/outside-broker.ts';
import { PresenceWriter } from './presence/presence-writer.ts';
import { createPublishingParts, type PublishingParts } from './publish/publishing-parts.ts';
import { createSharedParts, type SharedParts } from './shared-parts.ts';

/** How often watch states are saved: a kill costs judging this much again at the next start. */
const CHECKPOINT_MS = 15_000;

/** How often it is looked who has fallen silent; limits are minutes. */
const SILENCE_TICK_MS = 10_000;

/** Time for committing what was taken when closing; a store that refuses must not hold the end. */
const COMMIT_DRAIN_MS = 3_000;

/** Time for a replay to come to its end when closing; the next start begins it again. */
const REPLAY_STOP_MS = 2_000;

/** Time for judging what was committed when closing; the next start judges the rest. */
const JUDGE_DRAIN_MS = 4_000;

/**
 * Judges what is stored and not judged yet, publishes alarm state, then opens the broker.
 *
 * Rejects with `StoreError` when a store cannot be read, and with the system's error (`EADDRINUSE`)
 * when the port cannot be opened, or with `OutsideBrokerRefused`; nothing is left running then.
 */
export async function startIngest(dependencies: IngestDependencies): Promise<Ingest> {
  const house = new EmbeddedIngest(dependencies);
  try {
    await house.start();
  } catch (error) {
    await house.close();
    throw error;
  }
  return house;
}

/** Joins the parts of this service and is what the rest of the house sees of it. */
class EmbeddedIngest implements Ingest {
  readonly #shared: SharedParts;
  readonly #judging: JudgingParts;
  readonly #publishing: PublishingParts;
  readonly #commits: CommitQueue;
  readonly #presence: PresenceWriter;
  readonly #broker: BrokerDoor;
  readonly #services: ServiceTail;
  readonly #notes: TrafficNotes;
  readonly #timers: NodeJS.Timeout[] = [];
  #closed: Promise<void> | null = null;

  constructor(given: IngestDependencies) {
    this.#shared = createSharedParts(given, {
      waitingMessages: () => this.#commits.waitingMessages,
      waitingBytes: () => this.#commits.waitingBytes,
      undecodedMessages: () => this.#commits.undecodedMessages,
      unacknowledgedMessages: () => this.#broker.unacknowledgedMessages,
      pendingReadings: () => this.pending(),
      connections: () => this.#broker.connections,
      refusedConnections: () => this.#broker.refusedConnections,
      replaysWaiting: () => this.#judging.replays.waitingUnits,
      states: () => this.health(),
    });
    const { pauses, recordsHealth, live, traffic } = this.#shared;
    this.#notes = new TrafficNotes(traffic, given.log);
    this.#judging = createJudgingParts(this.#shared, {
      onRound: () => this.#commits.takeWaiting(),
      onAlarms: () => this.journalGrew(),
    });
    this.#commits = createCommits(this.#shared, this.#judging);
    this.#services = new ServiceTail({
      ...given,
      onRecord: ({ site, unit }) => this.serviceRecorded(site, unit),
    });
    this.#presence = new PresenceWriter({ records: given.records, health: recordsHealth, pauses });
    const intake = createIntake(this.#shared, this.#judging, this.#commits, this.#presence);
    this.#broker = (given.makeBroker ?? brokerOf(given.settings))({
      records: given.records,
      log: given.log,
      settings: given.settings,
      onMessage: (message) => intake.take(message),
      onOversize: (message) => intake.takeOversize(message),
      onPresenceLost: () => this.#presence.allOffline(given.clock()),
      onRefusedSignIn: () => this.#shared.metrics.signInsRefused.inc(),
    });
    this.#publishing = createPublishingParts(given, {
      publishRetained: (topic, payload) => this.#broker.publishRetained(topic, payload),
      onAlarms: () => this.journalGrew(),
      onJournal: () => live.journalGrew(),
    });
  }

  async start(): Promise<void> {
    const { given, live, fleet } = this.#shared;
    const { telemetry, records, log, clock } = given;
    live.fill(await telemetry.latest());
    await this.#services.begin();
    this.#judging.silence.restore(await records.openAlarms(), clock());
    await restoreWatches({ telemetry, records, fleet, log, ...this.#judging });
    if (this.#broker.nodesConnectHere) await this.#presence.allOffline(clock());
    await this.#broker.prepare();
    await this.#publishing.tail.start();
    this.#services.follow();
    this.#publishing.shelves.start();
    this.#publishing.silencing.start();
    this.#every(SILENCE_TICK_MS, () => this.#tick());
    this.#every(CHECKPOINT_MS, () => this.#judging.judge.saveCheckpoints());
    this.#judging.replays.start();
    await this.#broker.open();
  }

  get mqttPort(): number {
    return this.#broker.port;
  }

  pending(): number {
    return this.#judging.judge.pending + this.#judging.replays.pending;
  }

  hearOfServices(): Promise<void> {
    return this.#services.lookNow();
  }

  health(): ReturnType<Ingest['health']> {
    const { telemetryHealth, recordsHealth } = this.#shared;
    return {
      broker: this.#brokerState(),
      telemetry: this.#withTroubles('telemetry', telemetryHealth.state),
      records: this.#withTroubles('records', recordsHealth.state),
    };
  }

  pulse(): IngestPulse {
    const { turnAgeMs, waitingBytes, lastCommitAtMs } = this.#commits;
    const { judge } = this.#judging;
    return {
      commitAgeMs: turnAgeMs,
      waitingBytes,
      lastCommitAtMs,
      judgingAgeMs: judge.turnAgeMs,
      waitingReadings: judge.pending,
    };
  }

  condition(site: string, unit: string): ReturnType<Ingest['condition']> {
    const known = this.#shared.fleet.watched(site, unit);
    const watch = this.#judging.watches.find({ site, unit });
    return known === null || watch === null ? null : watch.condition(known);
  }

  latest(site: string, unit: string): ReturnType<Ingest['latest']> {
    return this.#shared.live.latest(site, unit);
  }

  judgedThroughMs(site: string, unit: string): ReturnType<Ingest['judgedThroughMs']> {
    const { watches, replays } = this.#judging;
    const ref = { site, unit };
    return replays.waitsFor(ref) ? null : (watches.find(ref)?.judgedThroughMs ?? null);
  }

  onReadings(listener: Parameters<Ingest['onReadings']>[0]): () => void {
    return this.#shared.live.onReadings(listener);
  }

  onCondition(listener: Parameters<Ingest['onCondition']>[0]): () => void {
    return this.#shared.live.onCondition(listener);
  }

  onJournal(listener: () => void): () => void {
    return this.#shared.live.onJournal(listener);
  }

  journalGrew(): void {
    this.#publishing.tail.poke();
  }

  serviceRecorded(site: string, unit: string): void {
    this.#judging.judge.serviceRecorded({ site, unit });
  }

  fleetChanged(): void {
    this.#shared.fleet.refresh();
  }

  renewTls(tls: Parameters<Ingest['renewTls']>[0]): void {
    this.#broker.renewTls?.(tls);
  }

  close(): Promise<void> {
    this.#closed ??= this.#close();
    return this.#closed;
  }

  async #close(): Promise<void> {
    const { judge, watches, replays } = this.#judging;
    const { records, log } = this.#shared.given;
    this.#timers.forEach(clearInterval);
    this.#broker.stopTaking();
    const { telemetry, records: recordsState } = this.health();
    if (telemetry.state !== 'down' && recordsState.state !== 'down') {
      await withinMs(COMMIT_DRAIN_MS, Promise.all([this.#commits.drain(), this.#presence.drain()]));
      await withinMs(JUDGE_DRAIN_MS, judge.drain());
    }
    await this.#services.stop();
    judge.stop();
    this.#shared.pauses.endAll();
    await withinMs(REPLAY_STOP_MS, replays.stop());
    await Promise.all([this.#commits.drain(), this.#presence.drain(), judge.drain()]);
    await watches.saveCheckpoints(records, log);
    await this.#publishing.shelves.stop();
    await this.#publishing.silencing.stop();
    await this.#publishing.tail.stop();
    await this.#broker.close();
  }

  #every(ms: number, action: () => void): void {
    this.#timers.push(setInterval(action, ms).unref());
  }

  #tick(): void {
    this.#notes.look();
    const { telemetryHealth, given } = this.#shared;
    const nowMs = given.clock();
    if (telemetryHealth.state.state === 'down' || this.#broker.isCutOff) {
      // Nodes hold their readings back, or the broker does: that is our silence, not theirs.
      this.#judging.silence.excuse(nowMs);
    } else {
      this.#judging.silence.tick(nowMs);
    }
    this.#judging.judge.kick();
  }

  #brokerState(): PartState {
    if (this.#closed !== null) return { state: 'down', reason: 'not listening' };
    const clock = clockVerdict(this.#shared.traffic.clockLeads());
    return this.#withTroubles('broker', this.#broker.state, clock);
  }

  #withTroubles(part: Trouble['part'], state: PartState, other: string | null = null): PartState {
    if (state.state === 'down') return state;
    const troubles = this.#shared.given.troubles?.().filter((one) => one.part === part) ?? [];
    const all = [state.reason, other, ...troubles.map(({ reason }) => reason)];
    const reasons = all.filter((reason) => reason !== null);
    return reasons.length === 0 ? state : { state: 'degraded', reason: reasons.join('; ') };
  }
}

function brokerOf({ outsideBroker }: IngestSettings): MakeBroker {
  return (parts) => (outsideBroker ? new OutsideBroker(parts, outsideBroker) : new Broker(parts));
}

function createCommits(shared: SharedParts, judging: JudgingParts): CommitQueue {
  const { judge, arrivals, dirty } = judging;
  const { given, live, metrics, telemetryHealth, recordsHealth, pauses } = shared;
  const { telemetry, records } = given;
  const writer = new BatchWriter({
    telemetry,
    records,
    telemetryHealth,
    recordsHealth,
    metrics,
    pauses,
  });
  return new CommitQueue({
    metrics,
    writer,
    clock: given.clock,
    mayTake: () => judge.hasRoom,
    beforeCommit: async (readings) => {
      const order = arrivals.order(readings);
      const isKept = order.marks.length === 0 || (await dirty.announce(order.marks));
      return isKept ? order : null;
    },
    onCommitted: (readings, { late, marks }) => {
      judge.committed(late.size === 0 ? readings : readings.filter((one) => !late.has(one)));
      dirty.committed(marks);
      for (const { readings: count } of marks) metrics.lateReadings.inc(count);
      live.committed(readings);
    },
  });
}

function createIntake(
  { fleet, metrics, given, traffic }: SharedParts,
  { silence }: JudgingParts,
  commits: CommitQueue,
  presence: PresenceWriter,
): MessageIntake {
  const { log, clock, settings } = given;
  const { retentionDays } = settings;
  return new MessageIntake({
    fleet,
    commits,
    presence,
    silence,
    metrics,
    traffic,
    log,
    clock,
    retentionDays,
  });
}

/** Waits for the promise, but no longer than this. */
async function withinMs(ms: number, promise: Promise<unknown>): Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  const limit = new Promise((resolve) => {
    timer = setTimeout(resolve, ms);
  });
  await Promise.race([promise, limit]);
  clearTimeout(timer);
}
