import type { AlertingRecords, ChannelKind, OnCallRecords } from '@lineside/storage';
import type { Logger } from 'pino';
import type { Registry } from 'prom-client';
import type { Channel } from '../channels/channel.ts';
import {
  DELIVERER_LIMITS,
  type DelivererLimits,
  DUE_WAIT_LEAST_MS,
  LOOK_AT_LEAST_EVERY_MS,
  LOOKS_APART_MS,
  NO_ROOM_WAIT_MS,
} from './limits.ts';
import { createOutboxMetrics } from './outbox-metrics.ts';
import { OutboxRounds } from './outbox-rounds.ts';
import { retryPauseMs } from './retry-pause.ts';

/** What the deliverer needs of the record store. */
export type DelivererRecords = Pick<
  AlertingRecords,
  'messagesDue' | 'nextMessageDueMs' | 'settleMessages'
> &
  Pick<OnCallRecords, 'contactPoints' | 'removeContactPoint'>;

export interface DelivererParts {
  readonly records: DelivererRecords;
  readonly channels: ReadonlyMap<ChannelKind, Channel>;
  readonly clock: () => number;
  /** From 0 to below 1, evenly spread. */
  readonly random: () => number;
  readonly log: Pick<Logger, 'info' | 'warn' | 'error'>;
  readonly metrics: Registry;
  readonly limits?: Partial<DelivererLimits>;
}

export interface DelivererHealth {
  readonly isRunning: boolean;
  readonly inFlight: number;
  /** When the outbox was last looked through without an error; null before the first time. */
  readonly lastLookAtMs: number | null;
  /** Why the store could not be read or written; null when it could. */
  readonly storeFailure: string | null;
  /** Channels and doors that cannot be reached. */
  readonly closedDoors: readonly string[];
}

/** Hands over what waits in the outbox, at least once. */
export interface Deliverer {
  start(): void;
  /** Look now: something new waits. Cheap, may be called often. */
  poke(): void;
  /** Takes nothing new and waits for what is in flight, within `stopWithinMs`. */
  stop(): Promise<void>;
  health(): DelivererHealth;
}

/**
 * A crash repeats at most what was in flight, under the same keys. Nothing is lost while the store
 * is out: what was handed over is written when it is back, and not handed over again until then.
 */
export function createDeliverer(parts: DelivererParts): Deliverer {
  return new OutboxDeliverer(parts);
}

class OutboxDeliverer implements Deliverer {
  readonly #parts: DelivererParts;
  readonly #limits: DelivererLimits;
  readonly #rounds: OutboxRounds;
  #isRunning = false;
  #isLooking: Promise<void> | null = null;
  #lookAgain = false;
  #lookedAtMs = Number.NEGATIVE_INFINITY;
  #timer: NodeJS.Timeout | undefined;
  #lastLookAtMs: number | null = null;
  #failedLooks = 0;
  #storeFailure: string | null = null;

  constructor(parts: DelivererParts) {
    this.#parts = parts;
    this.#limits = { ...DELIVERER_LIMITS, ...parts.limits };
    this.#rounds = new OutboxRounds({
      ...parts,
      limits: this.#limits,
      counts: createOutboxMetrics(parts.metrics, parts.records),
      landed: () => this.poke(),
    });
  }

  start(): void {
    this.#isRunning = true;
    this.poke();
  }

  poke(): void {
    this.#lookAgain = true;
    if (this.#isLooking !== null) return;
    const sinceMs = this.#parts.clock() - this.#lookedAtMs;
    // A clock that was set back must not keep anybody waiting.
    const isTooSoon = sinceMs >= 0 && sinceMs < LOOKS_APART_MS;
    this.#lookIn(isTooSoon ? LOOKS_APART_MS - sinceMs : 0);
  }

  async stop(): Promise<void> {
    this.#isRunning = false;
    clearTimeout(this.#timer);
    let timer: NodeJS.Timeout | undefined;
    const late = new Promise<void>((resolve) => {
      timer = setTimeout(resolve, this.#limits.stopWithinMs);
    });
    await Promise.race([late, this.#allOver()]);
    clearTimeout(timer);
    this.#rounds.abandon();
  }

  health(): DelivererHealth {
    return {
      isRunning: this.#isRunning,
      inFlight: this.#rounds.inFlight,
      lastLookAtMs: this.#lastLookAtMs,
      storeFailure: this.#storeFailure ?? this.#rounds.storeFailure,
      closedDoors: this.#rounds.closedDoors(),
    };
  }

  async #allOver(): Promise<void> {
    await this.#isLooking;
    await this.#rounds.allLanded();
  }

  async #look(): Promise<void> {
    this.#lookAgain = false;
    const waitMs = await this.#lookOnce();
    this.#lookedAtMs = this.#parts.clock();
    // At once with the check below: a poke from here on looks anew.
    this.#isLooking = null;
    this.#lookIn(this.#lookAgain ? LOOKS_APART_MS : waitMs);
  }

  #lookIn(waitMs: number): void {
    clearTimeout(this.#timer);
    if (!this.#isRunning) return;
    const look = (): void => {
      this.#isLooking = this.#look();
    };
    if (waitMs === 0) look();
    else this.#timer = setTimeout(look, waitMs);
  }

  /** Returns how long nothing is to be done. */
  async #lookOnce(): Promise<number> {
    const { records, clock, random, log } = this.#parts;
    try {
      await this.#rounds.run();
      const nextMs = await records.nextMessageDueMs();
      this.#lastLookAtMs = clock();
      this.#storeFailure = null;
      this.#failedLooks = 0;
      return waitFor(nextMs, clock());
    } catch (error) {
      this.#failedLooks += 1;
      this.#storeFailure = error instanceof Error ? error.message : String(error);
      log.error({ err: error }, 'the outbox cannot be read or written, trying again');
      // A poke would look at once, and again: a store that is out gets its pause.
      this.#lookAgain = false;
      const pauseMs = retryPauseMs(Math.min(this.#failedLooks, 5), null, random());
      return Math.min(pauseMs, LOOK_AT_LEAST_EVERY_MS);
    }
  }
}

function waitFor(nextDueMs: number | null, nowMs: number): number {
  if (nextDueMs === null) return LOOK_AT_LEAST_EVERY_MS;
  if (nextDueMs <= nowMs) return NO_ROOM_WAIT_MS;
  return Math.max(DUE_WAIT_LEAST_MS, Math.min(nextDueMs - nowMs, LOOK_AT_LEAST_EVERY_MS));
}
