import type { ReceivedMessage } from '@lineside/ingest';
import { CHANNEL_NAMES, type Reading } from '@lineside/readings';
import { RecordDisk } from '../in-memory/record-disk.ts';
import type { Disturb } from '../in-memory/store-lane.ts';
import { TelemetryDisk } from '../in-memory/telemetry-disk.ts';
import { Chance } from './chance.ts';
import { divergences, wrongTopics } from './convergence.ts';
import { lawsOfCommits, lostAcknowledgements } from './journal-laws.ts';
import { messagesOf, wallMs } from './messages.ts';
import { People } from './people.ts';
import { roofHistory } from './roof-history.ts';
import { ServiceLives } from './service-lives.ts';
import { SimulatedNetwork } from './simulated-network.ts';
import { type NodeMessage, SimulatedNode } from './simulated-node.ts';
import { drawDeadlyCalls, killAt, storeTrouble } from './store-trouble.ts';
import { drawTroubles, TROUBLED_MS } from './troubles.ts';
import { VirtualTime } from './virtual-time.ts';

/** Wall-clock time at the start of each run. */
const START_MS = Date.UTC(2026, 0, 20, 12);

/** With everything working, everything is judged after so long at most, ms. */
const SETTLE_MOST_MS: number = 15 * 60_000;

/** After the last judgement: the journal is looked at each second, a pause has 5 s at most. */
const AFTERMATH_MS = 7_000;

/** Level of pino from which on a line of the log is a failure by itself. */
const FATAL_LEVEL = 60;

/** Times in the troubled minutes at which is looked whether alarms are right already. */
const LOOKS = 8;

const TRACE_LINES = 60;

/** What one run came to. */
export interface Simulated {
  readonly seed: number;
  /** What does not hold; empty when all does. */
  readonly failures: readonly string[];
  /** The last things that happened. */
  readonly trace: readonly string[];
  readonly troubles: string;
  readonly readings: number;
  readonly lives: number;
  /** Times on the way at which nothing was pending, and alarms were right. */
  readonly looks: number;
  /** Journal entries by event. */
  readonly journal: Readonly<Record<string, number>>;
}

/**
 * Runs the service from one seed: readings, people, a network and stores that misbehave, an end of
 * the process now and then; then all of that works, and everything must be as if it always had.
 */
export async function simulate(seed: number): Promise<Simulated> {
  const time = new VirtualTime(START_MS);
  try {
    return await new Simulation(seed, time).run();
  } finally {
    time.end();
  }
}

class Simulation {
  readonly #seed: number;
  readonly #time: VirtualTime;
  readonly #chance: Chance;
  readonly #troubles;
  readonly #history;
  readonly #telemetry = new TelemetryDisk();
  readonly #records = new RecordDisk();
  readonly #network;
  readonly #lives;
  readonly #people;
  readonly #nodes: SimulatedNode[] = [];
  readonly #messages = new Map<Uint8Array, NodeMessage>();
  readonly #failures: string[] = [];
  #looks = 0;
  readonly #trace: string[] = [];

  constructor(seed: number, time: VirtualTime) {
    this.#seed = seed;
    this.#time = time;
    this.#chance = new Chance(seed);
    const chance = this.#chance;
    this.#troubles = drawTroubles(chance.of('troubles'));
    this.#history = roofHistory(chance.of('roofs'), START_MS - 3_600_000);
    this.#network = new SimulatedNetwork(chance.of('network'), this.#troubles);
    const nowMs = (): number => time.nowMs;
    this.#lives = new ServiceLives({
      time,
      chance: chance.of('lives'),
      fleet: this.#history.fleet,
      telemetryDisk: this.#telemetry,
      recordDisk: this.#records,
      disturbTelemetry: this.#disturb('telemetry'),
      disturbRecords: this.#disturb('records'),
      network: this.#network,
      trace: (line) => this.#note(line),
      logged: (level, line) => this.#logged(level, line),
    });
    this.#people = new People(this.#lives, {
      chance: chance.of('people'),
      troubles: this.#troubles,
      nowMs,
      isThere: ({ site, unit, atMs }) =>
        [...this.#records.services.values()].some(
          (one) => one.site === site && one.unit === unit && one.atMs === atMs,
        ),
    });
  }

  #disturb(store: string): Disturb {
    const chance = this.#chance.of(store);
    const calls = drawDeadlyCalls(this.#chance.of('deadly calls'), this.#troubles.deadlyCalls);
    const kill = (operation: string): void => {
      if (!this.#troubles.areOn) return;
      this.#note(`a deadly call of ${operation}`);
      this.#lives.crash();
    };
    return killAt(
      calls,
      kill,
      storeTrouble(chance, this.#troubles, () => this.#time.nowMs),
    );
  }

  async run(): Promise<Simulated> {
    lawsOfCommits(this.#records, (words) => this.#fail(words));
    this.#network.onAcknowledge = (message) => this.#acknowledged(message);
    this.#prepareNodes();
    this.#prepareEnds();
    this.#prepareLooks();
    this.#people.watch(this.#chance.of('eyes').pick([2_000, 20_000]));
    this.#lives.start();
    await this.#time.pass(TROUBLED_MS);
    this.#troubles.areOn = false;
    this.#note('from here on everything works');
    if (await this.#settled('')) {
      this.#check('');
      const entries = this.#records.journal.length;
      await this.#restartOnce();
      if (await this.#settled(' after a last restart')) {
        this.#check(' after a last restart');
        this.#checkQuiet(entries);
      }
    }
    this.#lives.crash();
    return this.#outcome();
  }

  #prepareNodes(): void {
    const times = this.#history.readings.flat().map(({ atMs }) => atMs);
    const pace = {
      startMs: START_MS,
      fromEventMs: Math.min(...times),
      toEventMs: Math.max(...times),
    };
    for (const readings of this.#history.readings) {
      const [first] = readings;
      if (first === undefined) continue;
      const { site, unit } = first;
      const chance = this.#chance.of(`node ${site} ${unit}`);
      const messages = messagesOf(chance, readings, pace, this.#troubles);
      for (const message of messages) this.#messages.set(message.payload, message);
      const node = new SimulatedNode(first, messages, {
        network: this.#network,
        chance,
        troubles: this.#troubles,
        nowMs: () => this.#time.nowMs,
      });
      this.#nodes.push(node);
    }
    for (const visit of this.#history.visits) {
      const chance = this.#chance.of(`visit ${visit.unit} ${visit.atMs}`);
      const lateMs = chance.happens(0.5) ? chance.whole(0, TROUBLED_MS) : 0;
      this.#people.write(visit, Math.max(0, wallMs(pace, visit.atMs) - START_MS) + lateMs);
    }
  }

  #prepareEnds(): void {
    const chance = this.#chance.of('ends');
    for (let count = 0; count < this.#troubles.crashes; count++) {
      setTimeout(() => this.#lives.crash(), chance.whole(1, TROUBLED_MS));
    }
    for (let count = 0; count < this.#troubles.cleanRestarts; count++) {
      const atMs = chance.whole(1, TROUBLED_MS);
      setTimeout(() => void this.#lives.restart(), atMs);
      // Some are killed while they close.
      if (chance.happens(0.3)) setTimeout(() => this.#lives.crash(), atMs + chance.whole(0, 4_000));
    }
  }

  /** Whenever nothing is pending, alarms are what the data say, troubles or not. */
  #prepareLooks(): void {
    const chance = this.#chance.of('looks');
    for (let count = 0; count < LOOKS; count++) {
      setTimeout(() => this.#look(), chance.whole(1, TROUBLED_MS));
    }
  }

  #look(): void {
    const { ingest, broker } = this.#lives;
    const isQuiet = ingest?.pending() === 0 && broker?.unacknowledgedMessages === 0;
    if (!isQuiet || this.#people.uncertain > 0) return;
    this.#looks += 1;
    for (const words of divergences(this.#history.fleet, this.#disks)) {
      this.#fail(`nothing pending, on the way, but ${words}`);
    }
  }

  /** Waits until everything was delivered and judged. */
  async #settled(when: string): Promise<boolean> {
    const isSettled = (): boolean =>
      this.#lives.ingest !== null &&
      this.#lives.ingest.pending() === 0 &&
      this.#people.unwritten === 0 &&
      this.#nodes.every(({ waiting }) => waiting === 0);
    if (!(await this.#time.until(isSettled, SETTLE_MOST_MS))) {
      const waiting = this.#nodes.map((node) => node.waiting);
      const pending = this.#lives.ingest?.pending() ?? 'down';
      this.#fail(`did not settle${when}: messages ${waiting.join(' ')}, pending ${pending}`);
      return false;
    }
    this.#note(`settled${when}`);
    const before = divergences(this.#history.fleet, this.#disks);
    for (const words of before) this.#fail(`nothing pending${when}, but ${words}`);
    await this.#time.pass(AFTERMATH_MS);
    return before.length === 0;
  }

  async #restartOnce(): Promise<void> {
    const closed = this.#lives.restart();
    await this.#time.until(() => this.#lives.ingest === null, 1);
    await this.#time.until(() => this.#lives.ingest !== null, SETTLE_MOST_MS);
    await closed;
  }

  #check(when: string): void {
    const retained = this.#lives.broker?.retained ?? new Map<string, string>();
    const found = [
      ...divergences(this.#history.fleet, this.#disks),
      ...wrongTopics(this.#records, retained),
      ...lostAcknowledgements(this.#records, this.#people.kept),
      ...this.#wrongReadings(),
      ...this.#wrongPresences(),
      ...[...this.#records.dirty.keys()].map((key) => `${key} is still marked`),
    ];
    for (const words of found) this.#fail(`${words}${when}`);
  }

  /** Nothing happened between two restarts: nothing may be announced. */
  #checkQuiet(entries: number): void {
    for (const { event, by, alarm } of this.#records.journal.slice(entries)) {
      if (alarm.kind === 'silent' || by === 'clock') continue;
      this.#fail(`a restart journals ${event} of ${alarm.site}/${alarm.unit} ${alarm.kind}`);
    }
  }

  get #disks() {
    return { telemetry: this.#telemetry, records: this.#records };
  }

  /** The service says that it keeps the message: does it? */
  #acknowledged({ payload, kind }: ReceivedMessage): void {
    const message = this.#messages.get(payload);
    if (kind !== 'telemetry' || message === undefined) return;
    const { readings, site, unit } = message;
    const isKept =
      readings === null
        ? this.#records.quarantine.some(({ entry }) => isSame(entry.payload, payload))
        : readings.every((one) => this.#isStored(one));
    if (!isKept) this.#fail(`acknowledged before it was kept: a message of ${site}/${unit}`);
  }

  #isStored({ site, unit, atMs, channels }: Reading): boolean {
    return CHANNEL_NAMES.every(
      (name) =>
        channels[name] === undefined || this.#telemetry.value(site, unit, atMs, name) !== undefined,
    );
  }

  /** Everything that was sent is stored, with a value that was sent, and nothing else is. */
  #wrongReadings(): readonly string[] {
    const sent = new Map<string, Set<number>>();
    for (const { readings } of this.#messages.values()) {
      for (const one of readings ?? []) addValues(sent, one);
    }
    const wrong: string[] = [];
    let stored = 0;
    for (const { site, unit } of this.#telemetry.units()) {
      for (const one of this.#telemetry.readings(site, unit, 0, Infinity, Infinity)) {
        const values = new Map<string, Set<number>>();
        addValues(values, one);
        stored += values.size;
        for (const [key, [value]] of values) {
          if (value === undefined || sent.get(key)?.has(value) !== true) wrong.push(key);
        }
      }
    }
    if (stored !== sent.size) wrong.push(`${stored} values are stored of ${sent.size}`);
    return wrong.map((words) => `readings: ${words}`);
  }

  #wrongPresences(): readonly string[] {
    return this.#nodes
      .map(({ site, unit }) => `${site}/${unit}`)
      .filter((key) => this.#records.presences.get(key)?.online !== true)
      .map((key) => `${key} is connected and does not count as online`);
  }

  #logged(level: number, line: string): void {
    this.#note(`log: ${line}`);
    if (level >= FATAL_LEVEL || line.startsWith('a watch failed')) this.#fail(`log: ${line}`);
  }

  #note(line: string): void {
    this.#trace.push(`${this.#time.words}: ${line}`);
  }

  #fail(words: string): void {
    this.#failures.push(words);
    this.#note(`FAILED ${words}`);
  }

  #outcome(): Simulated {
    const journal: Record<string, number> = {};
    for (const { event } of this.#records.journal) journal[event] = (journal[event] ?? 0) + 1;
    return {
      seed: this.#seed,
      failures: this.#failures,
      trace: this.#trace.slice(-TRACE_LINES),
      troubles: JSON.stringify(this.#troubles),
      readings: this.#history.readings.flat().length,
      lives: this.#lives.count,
      looks: this.#looks,
      journal,
    };
  }
}

function addValues(values: Map<string, Set<number>>, reading: Reading): void {
  const { site, unit, atMs, channels } = reading;
  for (const name of CHANNEL_NAMES) {
    const value = channels[name];
    if (value === undefined) continue;
    const key = `${site}/${unit} ${name} ${atMs}`;
    const known = values.get(key) ?? new Set();
    values.set(key, known.add(value));
  }
}

function isSame(one: Uint8Array, other: Uint8Array): boolean {
  return Buffer.compare(one, other) === 0;
}
