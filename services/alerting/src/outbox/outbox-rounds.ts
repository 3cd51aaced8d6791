import type { MessageOutcome, OutboxMessage } from '@lineside/storage';
import type { Channel, HandedOver } from '../channels/channel.ts';
import type { DelivererParts } from './deliverer.ts';
import { Doors, type PassedWay } from './doors.ts';
import { Flights } from './flights.ts';
import type { DelivererLimits } from './limits.ts';
import { toPageMessage } from './message-words.ts';
import type { OutboxMetrics } from './outbox-metrics.ts';
import { retryPauseMs } from './retry-pause.ts';
import { putOff, settlementOf } from './settlement.ts';
import { type GivenUp, type Ready, sortDue } from './sort-due.ts';
import { STEP_BACK_MS, Turns } from './turns.ts';

interface RoundsParts extends DelivererParts {
  readonly limits: DelivererLimits;
  readonly counts: OutboxMetrics;
  /** Told when a try is over and written. */
  readonly landed: () => void;
}

/** One look through the outbox after the other, and the tries that come of them. */
export class OutboxRounds {
  readonly #parts: RoundsParts;
  readonly #flights: Flights;
  readonly #doors = new Doors();
  #isAbandoned = false;
  /** Why what came of a try cannot be written; null when all is. */
  storeFailure: string | null = null;

  constructor(parts: RoundsParts) {
    this.#parts = parts;
    this.#flights = new Flights(parts.limits);
  }

  get inFlight(): number {
    return this.#flights.count;
  }

  closedDoors(): readonly string[] {
    return this.#doors.closed();
  }

  allLanded(): Promise<void> {
    return this.#flights.allLanded();
  }

  /** What could not be written by now is left: after a restart it is tried again. */
  abandon(): void {
    this.#isAbandoned = true;
  }

  /** Starts what is due and has room; rejects when the store is out. */
  async run(): Promise<void> {
    const { records, channels, clock, limits } = this.#parts;
    const nowMs = clock();
    // What is in flight as the store is asked may be through by the time that it answers.
    const inFlight = this.#flights.ids();
    const due = await records.messagesDue(nowMs, limits.dueAtOnce);
    const idle = due.filter(({ id }) => !inFlight.has(id));
    if (idle.length === 0) return;
    const contacts = new Map((await records.contactPoints()).map((point) => [point.id, point]));
    const known = { contacts, channels, toPage: toPageMessage };
    const { ready, givenUp } = sortDue(idle, known, nowMs);
    // Only behind a full look may there be messages that are not seen.
    const turns = due.length >= limits.dueAtOnce ? new Turns(limits) : null;
    const waiting = ready.flatMap((one) => this.#startOrPutOff(one, turns, nowMs) ?? []);
    const settled = [...givenUp.map(({ settlement }) => settlement), ...waiting];
    if (settled.length > 0) await records.settleMessages(settled);
    for (const one of givenUp) this.#sayGivenUp(one);
  }

  /** What to write of a message that cannot go now; null when it goes, or waits where it is. */
  #startOrPutOff(ready: Ready, turns: Turns | null, nowMs: number): MessageOutcome | null {
    const { message, contact, channel } = ready;
    if (!this.#flights.hasRoom(channel.kind, contact.id)) {
      if (turns?.staysAtHand(channel.kind, contact.id) ?? true) return null;
      return putOff(message, nowMs + STEP_BACK_MS, message.failure ?? 'waits for its turn');
    }
    const door = channel.doorOf?.(contact.address) ?? contact.id;
    const waitUntilMs = this.#doors.waitUntilMs({ channel: channel.kind, door }, nowMs);
    if (waitUntilMs !== null) {
      return putOff(message, waitUntilMs, message.failure ?? `waits: ${channel.kind} is down`);
    }
    const way = this.#doors.pass({ channel: channel.kind, door });
    const { landed } = this.#parts;
    this.#flights.start(message, () => this.#try(ready, way), landed);
    return null;
  }

  /** Never rejects. */
  async #try(ready: Ready, way: PassedWay): Promise<void> {
    const { clock, random, counts, records } = this.#parts;
    const { message, channel, page, contact } = ready;
    const result = await handOverSafely(channel, contact.address, page);
    const nowMs = clock();
    if (result.outcome === 'refused') this.#doors.unused(way);
    else if (result.outcome === 'failed' && result.isChannelDown) this.#doors.failed(way, nowMs);
    else this.#doors.answered(way);
    const settlement = settlementOf(message, result, nowMs, random());
    counts.tries.inc({ channel: message.channel, outcome: result.outcome });
    if (settlement.state === 'handed-over') {
      const seconds = Math.max(0, nowMs - message.createdAtMs) / 1000;
      counts.pageSeconds.observe({ channel: message.channel }, seconds);
    }
    this.#say(message, result, settlement);
    await this.#untilWritten(() => records.settleMessages([settlement]));
    if (result.outcome === 'gone') await this.#untilWritten(() => this.#remove(ready));
  }

  /** Not when it was registered anew while the try was under way. */
  async #remove({ contact }: Ready): Promise<void> {
    const { records } = this.#parts;
    const now = (await records.contactPoints()).find(({ id }) => id === contact.id);
    const isSame = JSON.stringify(now?.address) === JSON.stringify(contact.address);
    if (now !== undefined && isSame) await records.removeContactPoint(contact.id);
  }

  async #untilWritten(write: () => Promise<void>): Promise<void> {
    const { log, random } = this.#parts;
    for (let attempts = 1; !this.#isAbandoned; attempts += 1) {
      try {
        await write();
        this.storeFailure = null;
        return;
      } catch (error) {
        this.storeFailure = error instanceof Error ? error.message : String(error);
        log.error({ err: error }, 'what came of a message cannot be written, trying again');
        await sleep(retryPauseMs(Math.min(attempts, 5), null, random()));
      }
    }
  }

  #say({ id, contact, channel }: OutboxMessage, result: HandedOver, { state }: MessageOutcome) {
    const { log } = this.#parts;
    const about = { message: id, contact, channel };
    if (result.outcome === 'handed-over') log.info(about, 'message handed over');
    else if (state === 'given-up') {
      log.warn({ ...about, reason: result.reason }, `message given up: ${result.outcome}`);
    } else log.warn({ ...about, reason: result.reason }, 'message not handed over, trying again');
  }

  #sayGivenUp({ message, settlement, why }: GivenUp): void {
    const { log, counts } = this.#parts;
    const { id, contact, channel } = message;
    counts.tries.inc({ channel, outcome: why });
    const reason = settlement.failure;
    log.warn({ message: id, contact, channel, reason }, `message given up: ${why}`);
  }
}

/** A channel never rejects; one that does all the same must not hold up the others. */
async function handOverSafely(
  channel: Channel,
  address: unknown,
  page: Ready['page'],
): Promise<HandedOver> {
  try {
    return await channel.handOver(address, page);
  } catch (error) {
    const reason = `the channel broke: ${error instanceof Error ? error.name : 'unknown'}`;
    return { outcome: 'failed', reason, retryAfterMs: null, isChannelDown: false };
  }
}

function sleep(waitMs: number): Promise<void> {
  // A process that has nothing else to do may end meanwhile: what is unwritten is tried again.
  return new Promise((resolve) => setTimeout(resolve, waitMs).unref());
}
