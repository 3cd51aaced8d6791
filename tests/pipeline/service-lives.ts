import type { Fleet } from '@lineside/fleet';
import { type Ingest, startIngest } from '@lineside/ingest';
import type { RecordStore } from '@lineside/storage';
import { pino } from 'pino';
import { Registry } from 'prom-client';
import { type MemoryRecords, openMemoryRecords } from '../in-memory/memory-records.ts';
import { type MemoryTelemetry, openMemoryTelemetry } from '../in-memory/memory-telemetry.ts';
import type { RecordDisk } from '../in-memory/record-disk.ts';
import type { Disturb } from '../in-memory/store-lane.ts';
import type { TelemetryDisk } from '../in-memory/telemetry-disk.ts';
import type { Chance } from './chance.ts';
import { SimulatedBroker, type SimulatedNetwork } from './simulated-network.ts';
import type { VirtualTime } from './virtual-time.ts';

/** What outlives the service. */
export interface Surroundings {
  readonly time: VirtualTime;
  readonly chance: Chance;
  readonly fleet: Fleet;
  readonly telemetryDisk: TelemetryDisk;
  readonly recordDisk: RecordDisk;
  readonly disturbTelemetry: Disturb;
  readonly disturbRecords: Disturb;
  readonly network: SimulatedNetwork;
  readonly trace: (line: string) => void;
  /** A word of the service's log, warnings and worse. */
  readonly logged: (level: number, line: string) => void;
}

interface Life {
  readonly number: number;
  readonly telemetry: MemoryTelemetry;
  readonly records: MemoryRecords;
  broker: SimulatedBroker | null;
  /** Null until it has started, and from when it closes. */
  ingest: Ingest | null;
  isOver: boolean;
}

/** Longest times until a dead service is started again, ms. */
const DOWN_MOST_MS = [50, 1_000, 15_000];

/** The service from start to start, whether it was closed or died. */
export class ServiceLives {
  readonly #around: Surroundings;
  readonly #chance: Chance;
  #life: Life | null = null;
  #count = 0;

  constructor(around: Surroundings) {
    this.#around = around;
    this.#chance = around.chance;
  }

  get count(): number {
    return this.#count;
  }

  /** The running service; null while it is down, starting or closing. */
  get ingest(): Ingest | null {
    return this.#life?.ingest ?? null;
  }

  /** The records as the running service's own door for people uses them. */
  get records(): RecordStore | null {
    return this.#life?.ingest == null ? null : this.#life.records.store;
  }

  get broker(): SimulatedBroker | null {
    return this.#life?.broker ?? null;
  }

  start(): void {
    if (this.#life !== null) return;
    this.#count += 1;
    const life = this.#newLife();
    this.#life = life;
    this.#around.trace(`life ${life.number} begins`);
    this.#startLife(life).then(
      (ingest) => {
        if (life.isOver) return;
        life.ingest = ingest;
        this.#around.trace(`life ${life.number} runs`);
      },
      (error: unknown) => {
        if (life.isOver) return;
        this.#around.trace(`life ${life.number} cannot start: ${String(error)}`);
        this.#end(life);
      },
    );
  }

  /** The process is killed, wherever it is. */
  crash(): void {
    const life = this.#life;
    if (life === null) return;
    this.#around.trace(`life ${life.number} is killed`);
    life.telemetry.cut();
    life.records.cut();
    life.broker?.cut();
    this.#around.time.dropIntervals();
    this.#end(life);
  }

  /** Closes the running service as it should be, and starts it again. */
  async restart(): Promise<void> {
    const life = this.#life;
    const ingest = life?.ingest ?? null;
    if (life === null || ingest === null) return;
    this.#around.trace(`life ${life.number} is asked to close`);
    life.ingest = null;
    await ingest.close();
    if (life.isOver) return;
    this.#around.trace(`life ${life.number} has closed`);
    this.#end(life);
  }

  #newLife(): Life {
    const { telemetryDisk, recordDisk, disturbTelemetry, disturbRecords } = this.#around;
    return {
      number: this.#count,
      telemetry: openMemoryTelemetry(telemetryDisk, disturbTelemetry),
      records: openMemoryRecords(recordDisk, disturbRecords),
      broker: null,
      ingest: null,
      isOver: false,
    };
  }

  #startLife(life: Life): Promise<Ingest> {
    const { fleet, network, logged } = this.#around;
    const write = (line: string): void => {
      const { level, msg, err } = JSON.parse(line) as LogLine;
      logged(level, `${msg}${err === undefined ? '' : `: ${err.message}`}`);
    };
    return startIngest({
      telemetry: life.telemetry.store,
      records: life.records.store,
      fleet: () => fleet,
      clock: () => this.#around.time.nowMs,
      log: pino({ level: 'warn' }, { write }),
      metrics: new Registry(),
      settings: { mqttHost: '127.0.0.1', mqttPort: 0, tls: null, retentionDays: 400 },
      makeBroker: (parts) => {
        life.broker = new SimulatedBroker(parts, network);
        return life.broker;
      },
    });
  }

  #end(life: Life): void {
    life.isOver = true;
    life.ingest = null;
    this.#life = null;
    setTimeout(() => this.start(), this.#chance.whole(10, this.#chance.pick(DOWN_MOST_MS)));
  }
}

interface LogLine {
  readonly level: number;
  readonly msg: string;
  readonly err?: { readonly message: string };
}
