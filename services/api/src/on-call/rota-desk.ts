import { parseRota, type Rota } from '@lineside/oncall';
import type { OnCallRecords } from '@lineside/storage';

/** The rota as it is kept, ready to be asked. */
export interface KeptRota {
  readonly generation: number;
  readonly rota: Rota;
  /** When this process first saw this generation. */
  readonly seenAtMs: number;
}

/** Reads and replaces the rota; parses a generation once. Rejects with `StoreError`. */
export class RotaDesk {
  readonly #records: Pick<OnCallRecords, 'loadRota' | 'saveRota'>;
  readonly #clock: () => number;
  #kept: KeptRota | null = null;

  constructor(records: Pick<OnCallRecords, 'loadRota' | 'saveRota'>, clock: () => number) {
    this.#records = records;
    this.#clock = clock;
  }

  /** Null before the first rota was applied. */
  async read(): Promise<KeptRota | null> {
    const stored = await this.#records.loadRota();
    if (stored === null) return null;
    if (this.#kept?.generation === stored.generation) return this.#kept;
    const rota = parseRota(stored.document, 'the rota that is kept');
    this.#kept = { generation: stored.generation, rota, seenAtMs: this.#clock() };
    return this.#kept;
  }

  /**
   * Puts another rota in its place; returns its generation. Rejects with `STORE_CONFLICT` when
   * somebody else was faster.
   */
  async replace(before: KeptRota, rota: Rota): Promise<number> {
    await this.#records.saveRota(rota, before.generation);
    return before.generation + 1;
  }
}
