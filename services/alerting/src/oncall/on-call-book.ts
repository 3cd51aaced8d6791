import { officeOnlyRota, parseRota, type Rota } from '@lineside/oncall';
import type { HeldUnit } from '@lineside/paging';
import type {
  AlarmLifeRecords,
  ChannelKind,
  ContactPoint,
  OnCallRecords,
  StoredRota,
  UnitHold,
} from '@lineside/storage';
import type { Logger } from 'pino';

export type OnCallBookRecords = Pick<OnCallRecords, 'loadRota' | 'contactPoints'> &
  Pick<AlarmLifeRecords, 'unitHoldsAt'>;

/** Who can be asked at one moment. */
export interface OnCallNow {
  readonly rota: Rota;
  /** Those whose channel there is. */
  readonly contacts: readonly ContactPoint[];
  /** True for a person, or the office by null, with any contact point. */
  readonly canReach: (person: string | null) => boolean;
}

/** Rota, contact points and holds as they are stored, read anew for each step. */
export class OnCallBook {
  readonly #records: OnCallBookRecords;
  readonly #hasChannel: (kind: ChannelKind) => boolean;
  readonly #log: Pick<Logger, 'warn' | 'error'>;
  readonly #missing = new Set<ChannelKind>();
  #parsed: { readonly generation: number; readonly rota: Rota } | null = null;

  /** @param hasChannel whether pages can be handed over this way at all. */
  constructor(
    records: OnCallBookRecords,
    hasChannel: (kind: ChannelKind) => boolean,
    log: Pick<Logger, 'warn' | 'error'>,
  ) {
    this.#records = records;
    this.#hasChannel = hasChannel;
    this.#log = log;
  }

  async now(): Promise<OnCallNow> {
    const [stored, known] = await Promise.all([
      this.#records.loadRota(),
      this.#records.contactPoints(),
    ]);
    const contacts = known.filter(({ channel }) => this.#isUsable(channel));
    const reached = new Set(contacts.map(({ person }) => person));
    return { rota: this.#rotaOf(stored), contacts, canReach: (person) => reached.has(person) };
  }

  /** Units that are held at that time, by site and unit. */
  async holdsAt(nowMs: number): Promise<readonly HeldUnit[]> {
    const holds = await this.#records.unitHoldsAt(nowMs);
    return holds.flatMap((hold) => {
      const untilMs = endOf(hold);
      const { site, unit, fromMs } = hold;
      return fromMs <= nowMs && nowMs < untilMs ? [{ site, unit, fromMs, untilMs }] : [];
    });
  }

  #isUsable(channel: ChannelKind): boolean {
    if (this.#hasChannel(channel)) return true;
    if (!this.#missing.has(channel)) {
      this.#missing.add(channel);
      this.#log.warn({ channel }, 'contact points of a channel that is not set up are not used');
    }
    return false;
  }

  /** Parsed once a generation, so that what is remembered of a rota holds. */
  #rotaOf(stored: StoredRota | null): Rota {
    const generation = stored?.generation ?? 0;
    if (this.#parsed?.generation === generation) return this.#parsed.rota;
    const rota = this.#read(stored);
    this.#parsed = { generation, rota };
    return rota;
  }

  /** A rota that cannot be read must not silence alarms: the office is asked then. */
  #read(stored: StoredRota | null): Rota {
    if (stored === null) return officeOnlyRota();
    try {
      return parseRota(stored.document, 'the stored rota');
    } catch (error) {
      this.#log.error(
        { err: error },
        'the stored rota cannot be read, every page goes to the office',
      );
      return officeOnlyRota();
    }
  }
}

function endOf({ untilMs, endedAtMs }: UnitHold): number {
  return endedAtMs === null ? untilMs : Math.min(untilMs, endedAtMs);
}
