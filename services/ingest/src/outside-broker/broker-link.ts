import type { IConnackPacket } from 'mqtt';
import type { Logger } from 'pino';
import { Pauses } from '../commit/pause.ts';
import {
  attemptLink,
  type LinkAttempt,
  type MqttVersion,
  type SessionOptions,
} from './link-attempt.ts';
import type { OutsideBrokerSettings } from './outside-settings.ts';
import { type Trouble, troubleOf } from './refusals.ts';

/** First pause before the next attempt, ms; it doubles with each one that fails. */
const FIRST_PAUSE_MS = 250;

/** Longest pause, ms: what a broker that came back waits for us. */
const LONGEST_PAUSE_MS = 5_000;

/** A connection that held this long was a good one: the next pause is the first again. */
const GOOD_AFTER_MS = 10_000;

/** Connections that the broker closed soon, in a row, before another client is thought of. */
const SUSPICIOUS_ENDS = 3;

/** Three pings in a keep-alive period, so that one may be late. */
const PINGS_PER_KEEPALIVE = 3;

/** Time for what is under way when closing, ms; a broker that hangs must not hold the end. */
const END_WITHIN_MS = 1_000;

export interface BrokerLinkParts {
  readonly settings: OutsideBrokerSettings;
  readonly session: SessionOptions;
  readonly log: Logger;
  /** What the connection is for, in the log. */
  readonly purpose: string;
  /** Called before each attempt's first byte. */
  readonly prepare?: Parameters<typeof attemptLink>[3];
  /**
   * Called when the broker has let us in; the link is up when it resolves, or at once where the
   * broker kept our session. When it rejects, the connection is given up and tried again.
   */
  readonly onConnected: (link: LinkAttempt, connack: IConnackPacket) => Promise<void>;
  /** True while nothing is read on purpose, so that nothing heard means nothing. */
  readonly isHeld?: () => boolean;
}

export type LinkState =
  | { readonly isUp: true; readonly trouble: null }
  | { readonly isUp: false; readonly trouble: Trouble; readonly sinceMs: number };

/** A connection to the broker that is made again whenever it ends. */
export class BrokerLink {
  readonly #parts: BrokerLinkParts;
  readonly #pauses = new Pauses();
  #version: MqttVersion = 5;
  #hasConnected = false;
  #earlyEnds = 0;
  #current: LinkAttempt | null = null;
  #state: LinkState = downNow({ kind: 'out', reason: 'not connected yet' });
  #running: Promise<void> | null = null;
  #isClosing = false;
  #onFirstOutcome: () => void = () => {};
  readonly #firstOutcome: Promise<void>;

  constructor(parts: BrokerLinkParts) {
    this.#parts = parts;
    this.#firstOutcome = new Promise((resolve) => {
      this.#onFirstOutcome = resolve;
    });
  }

  get state(): LinkState {
    return this.#state;
  }

  /** Null while it is down. */
  get current(): LinkAttempt | null {
    return this.#state.isUp ? this.#current : null;
  }

  /** Begins; resolves when the first attempt has come to an end, or after that many ms. */
  async open(withinMs: number): Promise<void> {
    this.#running = this.#run();
    await within(withinMs, this.#firstOutcome);
  }

  /** Says goodbye, after what is under way when `isOrderly`. */
  async close(isOrderly = true): Promise<void> {
    this.#isClosing = true;
    this.#pauses.endAll();
    const link = this.#current;
    if (link !== null) {
      if (isOrderly && this.#state.isUp) {
        const ended = new Promise<void>((resolve) => link.client.end(false, () => resolve()));
        await within(END_WITHIN_MS, ended);
      }
      link.stream.destroy();
    }
    await this.#running;
  }

  async #run(): Promise<void> {
    for (let failures = 0; !this.#isClosing; ) {
      const startedMs = performance.now();
      const trouble = await this.#connectOnce();
      if (this.#isClosing) break;
      if (trouble.kind === 'version') continue;
      failures = performance.now() - startedMs > GOOD_AFTER_MS ? 0 : failures + 1;
      const pauseMs = Math.min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** Math.max(0, failures - 1));
      await this.#pauses.wait(pauseMs);
    }
    this.#onFirstOutcome();
  }

  /** One connection from its begin to its end; gives why it ended. */
  async #connectOnce(): Promise<Trouble> {
    const { settings, session, prepare } = this.#parts;
    const version = this.#version;
    const link = attemptLink(settings, session, version, prepare ?? (() => {}));
    this.#current = link;
    const outcome = await link.outcome;
    if ('kind' in outcome) return this.#failed(link, this.#otherVersion(outcome, version));
    const pings = this.#keepAlive(link);
    const whole = this.#parts.onConnected(link, outcome);
    // Where the broker kept our session, what waits there comes before its answers, for minutes.
    if (outcome.sessionPresent) this.#up(version);
    try {
      await Promise.race([whole, link.closed]);
      if (!link.stream.destroyed && !this.#state.isUp) this.#up(version);
    } catch (error) {
      clearInterval(pings);
      return this.#failed(link, troubleOf(error));
    }
    const upSinceMs = performance.now();
    const ended = await link.closed;
    clearInterval(pings);
    return this.#failed(link, this.#suspected(ended, performance.now() - upSinceMs));
  }

  /**
   * A broker that does not know MQTT 5 says so, or just closes. Once one version was good, only a
   * plain answer changes it: a broker that is being restarted closes connections, too.
   */
  #otherVersion(trouble: Trouble, version: MqttVersion): Trouble {
    const isGuess = isClosedByBroker(trouble);
    if (trouble.kind === 'version' || (isGuess && !this.#hasConnected)) {
      this.#version = version === 5 ? 4 : 5;
    }
    const isFirstTry = trouble.kind === 'version' && version === 5;
    return isFirstTry
      ? trouble
      : { ...trouble, kind: trouble.kind === 'refused' ? 'refused' : 'out' };
  }

  /** With MQTT 3.1.1, and of some brokers with 5, nobody hears that another client took over. */
  #suspected(ended: Trouble, lastedMs: number): Trouble {
    this.#earlyEnds = lastedMs < GOOD_AFTER_MS ? this.#earlyEnds + 1 : 0;
    if (this.#earlyEnds < SUSPICIOUS_ENDS || !isClosedByBroker(ended)) return ended;
    const words = 'again and again, as when another client has our client id';
    return { ...ended, reason: `${ended.reason} ${words} (LINESIDE_MQTT_CLIENT_ID)` };
  }

  /**
   * In place of the client's own pings: its answer to one waits behind all that we have not read
   * yet, and would be missed although the broker is well. Any byte shows that it lives.
   */
  #keepAlive(link: LinkAttempt): NodeJS.Timeout {
    const { client } = link;
    const periodMs = (client.keepalive * 1000) / PINGS_PER_KEEPALIVE;
    let heldUntilMs = performance.now();
    const timer = setInterval(() => {
      const nowMs = performance.now();
      if (this.#parts.isHeld?.() === true) heldUntilMs = nowMs;
      client.sendPing();
      client.reschedulePing(true);
      const silentMs = nowMs - Math.max(heldUntilMs, link.heardAtMs());
      if (silentMs > client.keepalive * 1500) {
        link.stream.destroy(new Error(`the broker has been silent for ${Math.round(silentMs)} ms`));
      }
    }, periodMs);
    return timer.unref();
  }

  #up(version: MqttVersion): void {
    const { log, purpose, settings } = this.#parts;
    const words = version === 5 ? 'MQTT 5' : 'MQTT 3.1.1';
    log.info(`connected to the broker at ${settings.url} for ${purpose}, ${words}`);
    this.#hasConnected = true;
    this.#state = { isUp: true, trouble: null };
    this.#onFirstOutcome();
  }

  #failed(link: LinkAttempt, trouble: Trouble): Trouble {
    link.stream.destroy();
    link.client.end(true);
    this.#current = null;
    const { log, purpose, settings } = this.#parts;
    const before = this.#state;
    const isNew = before.isUp || before.trouble.reason !== trouble.reason;
    if (isNew && !this.#isClosing && trouble.kind !== 'version') {
      const words = `no connection to the broker at ${settings.url} for ${purpose}`;
      log[trouble.kind === 'refused' ? 'error' : 'warn'](`${words}: ${trouble.reason}`);
    }
    this.#state = before.isUp
      ? downNow(trouble)
      : { isUp: false, trouble, sinceMs: before.sinceMs };
    if (trouble.kind !== 'version') this.#onFirstOutcome();
    return trouble;
  }
}

function isClosedByBroker({ kind, reason }: Trouble): boolean {
  return kind === 'out' && reason.endsWith('closed the connection');
}

function downNow(trouble: Trouble): LinkState {
  return { isUp: false, trouble, sinceMs: performance.now() };
}

/** Waits for the promise, but no longer than this. */
async function within(ms: number, promise: Promise<void>): Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  const limit = new Promise<void>((resolve) => {
    timer = setTimeout(resolve, ms);
  });
  await Promise.race([promise, limit]);
  clearTimeout(timer);
}
