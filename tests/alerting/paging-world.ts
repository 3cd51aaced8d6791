import { startPaging } from '@lineside/alerting';
import type { Fleet } from '@lineside/fleet';
import type { Reading } from '@lineside/readings';
import type { ContactPoint, OutboxMessage, RecordStore } from '@lineside/storage';
import { pino } from 'pino';
import { Registry } from 'prom-client';
import { AlarmLives, type Happening, PIER_ROTA } from '../../packages/paging/test/alarm-lives.ts';
import { openMemoryRecords } from '../in-memory/memory-records.ts';
import { RecordDisk } from '../in-memory/record-disk.ts';
import type { Disturb } from '../in-memory/store-lane.ts';
import { VirtualTime } from '../pipeline/virtual-time.ts';

/** A Tuesday at noon: Ana has the first call of the pier, Ben the second. */
export const NOON_MS: number = Date.UTC(2026, 0, 6, 12);

export const PUBLIC_URL = 'https://lineside.example';

/** All people are invented, and so are their addresses. */
const CONTACTS: readonly ContactPoint[] = [
  contact('ana-phone', 'ana'),
  contact('ana-mail', 'ana'),
  { ...contact('ben-phone', 'ben'), channel: 'webhook' },
  contact('office-desk', null),
];

function contact(id: string, person: string | null): ContactPoint {
  const address = { to: `${id}@example.net` };
  const channel = 'e-mail';
  return { id, person, channel, name: id, address, createdAtMs: NOON_MS, origin: 'file' };
}

const FLEET: Fleet = {
  sites: [
    {
      id: 'pier-nine',
      name: 'Pier Nine',
      timezone: 'UTC',
      latitudeDegrees: null,
      longitudeDegrees: null,
    },
  ],
  units: [],
};

type Paging = Awaited<ReturnType<typeof startPaging>>;

/** One process after another over the same disk, on virtual time. */
export class PagingWorld {
  readonly time = new VirtualTime(NOON_MS);
  readonly disk = new RecordDisk();
  readonly lives = new AlarmLives();
  /** What nobody disturbs: people, the journal, and who looks at the outbox. */
  readonly records: RecordStore = openMemoryRecords(this.disk).store;
  weather: Reading | null = null;
  hasMail = true;
  /** How far all units are judged. */
  judgedThroughMs: number | null = null;
  /** How often messages were said to wait. */
  told = 0;

  async prepare({ rota = true } = {}): Promise<void> {
    if (rota) await this.records.saveRota(PIER_ROTA, 0);
    for (const one of CONTACTS) await this.records.setContactPoint(one);
  }

  /** Starts a process; `cut` ends it as a kill does. */
  async start(disturb?: Disturb): Promise<{ readonly paging: Paging; readonly cut: () => void }> {
    const { store, cut } = openMemoryRecords(this.disk, disturb);
    const paging = await startPaging({
      records: store,
      fleet: () => FLEET,
      latest: () => this.weather,
      judgedThroughMs: async (units) => units.map(() => this.judgedThroughMs),
      hasChannel: (kind) => this.hasMail || kind !== 'e-mail',
      publicUrl: () => PUBLIC_URL,
      clock: () => this.time.nowMs,
      log: pino({ level: 'silent' }),
      metrics: new Registry(),
      onMessages: () => {
        this.told += 1;
      },
    });
    return { paging, cut };
  }

  /** Something happens to alarms, in one commit of the journal. */
  async happen(...happened: readonly Partial<Happening>[]): Promise<void> {
    for (const one of happened) {
      const whole: Happening = { unit: 'p-02', what: 'raise', lateMs: 0, ...one };
      const entries = this.lives.happen(whole, this.time.nowMs);
      if (entries.length > 0) await this.records.changeAlarms(entries.map((entry) => ({ entry })));
    }
  }

  async outbox(): Promise<readonly OutboxMessage[]> {
    return (await this.records.messages({ limit: 1000, cursor: null })).items;
  }
}
