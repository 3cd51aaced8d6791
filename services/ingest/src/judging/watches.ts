import type { RecordStore, UnitRef } from '@lineside/storage';
import type { Logger } from 'pino';
import { unitKey } from '../fleet-index.ts';
import { checkpointOf, newWatch, type UnitWatch } from './unit-watch.ts';

/** Checkpoints written in one transaction: short ones let alarms in between. */
const CHECKPOINTS_PER_COMMIT = 200;

/** The watches of all units, as of their last committed judgement. */
export class Watches {
  /** Said once: a full disk is tried again every fifteen seconds. */
  #saveFailed = false;
  readonly #watches = new Map<string, UnitWatch>();
  readonly #sites = new Map<string, Map<string, UnitWatch>>();

  /** The unit's watch; a new one when it has none. */
  of(site: string, unit: string): UnitWatch {
    const key = unitKey(site, unit);
    let watch = this.#watches.get(key);
    if (watch === undefined) {
      watch = newWatch({ site, unit });
      this.add(watch);
    }
    return watch;
  }

  find({ site, unit }: UnitRef): UnitWatch | null {
    return this.#watches.get(unitKey(site, unit)) ?? null;
  }

  add(watch: UnitWatch): void {
    const { site, unit } = watch.ref;
    this.#watches.set(unitKey(site, unit), watch);
    const ofSite = this.#sites.get(site) ?? new Map<string, UnitWatch>();
    this.#sites.set(site, ofSite.set(unit, watch));
  }

  /** The watches of a site, in no particular order. */
  onSite(site: string): Iterable<UnitWatch> {
    return this.#sites.get(site)?.values() ?? [];
  }

  /**
   * Writes the checkpoints that are older than their watches. A failure is no loss: a restart then
   * judges a little more again, with the same outcome.
   */
  async saveCheckpoints(records: Pick<RecordStore, 'commitJudgement'>, log: Logger): Promise<void> {
    const unsaved = [...this.#watches.values()].filter((watch) => watch.unsaved);
    for (let from = 0; from < unsaved.length; from += CHECKPOINTS_PER_COMMIT) {
      const some = unsaved.slice(from, from + CHECKPOINTS_PER_COMMIT);
      const checkpoints = some.map((one) => checkpointOf(one.ref, one.state, one.serviceIds));
      const states = some.map((watch) => watch.state);
      try {
        await records.commitJudgement({ checkpoints, alarms: [], episodes: [] });
      } catch (error) {
        if (!this.#saveFailed) log.warn({ err: error }, 'checkpoints cannot be saved; tried again');
        this.#saveFailed = true;
        return;
      }
      this.#saveFailed = false;
      some.forEach((watch, index) => {
        // It may have been judged further while this was written.
        watch.unsaved = watch.state !== states[index];
      });
    }
  }
}
