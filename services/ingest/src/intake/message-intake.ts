import { decodePack, parsePresence, refusal, WEATHER_UNIT } from '@lineside/readings';
import type { QuarantineEntry } from '@lineside/storage';
import type { Logger } from 'pino';
import type { OversizeMessage, ReceivedMessage } from '../broker/broker.ts';
import type { CommitQueue } from '../commit/commit-queue.ts';
import { quarantineEntry } from '../commit/quarantine-entry.ts';
import type { PreparedWork, Work } from '../commit/work.ts';
import type { FleetIndex } from '../fleet-index.ts';
import type { SilenceWatch } from '../judging/silence-watch.ts';
import type { IngestMetrics } from '../metrics.ts';
import type { PresenceWriter } from '../presence/presence-writer.ts';
import type { NodeTraffic } from './node-traffic.ts';

const DAY_MS = 86_400_000;

export interface IntakeParts {
  readonly fleet: FleetIndex;
  readonly commits: CommitQueue;
  readonly presence: PresenceWriter;
  readonly silence: SilenceWatch;
  readonly metrics: IngestMetrics;
  readonly traffic: NodeTraffic;
  readonly log: Logger;
  readonly clock: () => number;
  readonly retentionDays: number;
}

/** A refusal in words, as the readings room gives it. */
type Refused = ReturnType<typeof refusal>;

/** Decides what becomes of each received message. Whatever is wrong with it, it is acknowledged. */
export class MessageIntake {
  readonly #parts: IntakeParts;

  constructor(parts: IntakeParts) {
    this.#parts = parts;
  }

  take(message: ReceivedMessage): void {
    const { identity, kind } = message;
    if (identity?.kind === 'node') this.#parts.traffic.received(identity.site, identity.unit);
    if (kind === 'not-allowed' || identity?.kind !== 'node') {
      this.#refuse(message, refusal('topic-not-allowed'));
    } else if (kind === 'telemetry') {
      this.#takeTelemetry(message, identity.site, identity.unit);
    } else {
      this.#takePresence(message, identity.site, identity.unit);
    }
  }

  /** A message that was not read whole. */
  takeOversize(message: OversizeMessage): void {
    const receivedAtMs = this.#parts.clock();
    const refused = refusal('message-too-large', `${message.announcedBytes} bytes`);
    const entry = quarantineEntry(receivedAtMs, message.topic, message.payloadHead, refused);
    this.#parts.commits.submit({
      payloadBytes: message.payloadHead.length,
      receivedAtMs,
      prepare: () => ({ readings: [], quarantine: [entry] }),
      refused: () => entry,
      gone: message.gone ?? (() => false),
      acknowledge: message.acknowledge ?? (() => {}),
    });
  }

  #takeTelemetry(message: ReceivedMessage, site: string, unit: string): void {
    this.#parts.metrics.packs.inc();
    if (!this.#parts.fleet.knows(site, unit)) {
      this.#refuse(message, refusal('unknown-unit'));
      return;
    }
    const receivedAtMs = this.#parts.clock();
    this.#submit(message, receivedAtMs, () => this.#decode(message, site, unit, receivedAtMs));
  }

  #decode(
    message: ReceivedMessage,
    site: string,
    unit: string,
    receivedAtMs: number,
  ): PreparedWork {
    const pack = decodePack(message.payload, {
      receivedAtMs,
      oldestAtMs: receivedAtMs - this.#parts.retentionDays * DAY_MS,
      weather: unit === WEATHER_UNIT,
    });
    this.#parts.silence.received(site, unit, receivedAtMs, pack.refusedTimes);
    const newestMs = Math.max(
      pack.readings.at(-1)?.atMs ?? -Infinity,
      pack.newestRefusedMs ?? -Infinity,
    );
    if (newestMs > -Infinity) this.#parts.traffic.newest(site, unit, receivedAtMs, newestMs);
    const readings = pack.readings.map(({ atMs, channels }) => ({ site, unit, atMs, channels }));
    const quarantine =
      pack.refusal === null ? [] : [this.#entry(message, receivedAtMs, pack.refusal)];
    return { readings, quarantine };
  }

  #takePresence(message: ReceivedMessage, site: string, unit: string): void {
    const state = parsePresence(message.payload);
    if (state === null) {
      this.#refuse(message, refusal('presence-malformed'));
    } else if (!this.#parts.fleet.knows(site, unit)) {
      this.#refuse(message, refusal('unknown-unit'));
    } else {
      const sinceMs = this.#parts.clock();
      const presence = { site, unit, online: state === 'online', sinceMs };
      this.#parts.presence.set(presence, message.acknowledge);
    }
  }

  #refuse(message: ReceivedMessage, refused: Refused): void {
    const receivedAtMs = this.#parts.clock();
    this.#submit(message, receivedAtMs, () => ({
      readings: [],
      quarantine: [this.#entry(message, receivedAtMs, refused)],
    }));
  }

  #submit(message: ReceivedMessage, receivedAtMs: number, prepare: () => PreparedWork): void {
    const work: Work = {
      payloadBytes: message.payload.length,
      receivedAtMs,
      prepare,
      refused: (reason) =>
        this.#entry(message, receivedAtMs, {
          code: 'not-storable',
          reason: `not storable: ${reason}`,
        }),
      gone: message.gone,
      acknowledge: message.acknowledge,
    };
    this.#parts.commits.submit(work);
  }

  #entry(
    message: ReceivedMessage,
    receivedAtMs: number,
    refused: { readonly code: string; readonly reason: string },
  ): QuarantineEntry {
    const { topic, payload } = message;
    this.#parts.log.debug({ topic, code: refused.code }, 'message quarantined');
    return quarantineEntry(receivedAtMs, topic, payload, refused);
  }
}
