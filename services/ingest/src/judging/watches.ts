import { newWatchState } from '@lineside/anomaly';
import type { RecordStore } from '@lineside/storage';
import type { Logger } from 'pino';
import { unitKey } from '../fleet-index.ts';
import { checkpointOf, UnitWatch } from './unit-watch.ts';

/** Checkpoints written in one transaction: short ones let alarms in between. */
const CHECKPOINTS_PER_COMMIT = 200;

/** The watches of all units, as of their last committed judgement. */
export class Watches {
  readonly #watches = new Map<string, UnitWatch>();

  /** The unit's watch; a new one when it has none. */
  of(site: string, unit: string): UnitWatch {
    const key = unitKey(site, unit);
    let watch = this.#watches.get(key);
    if (watch === undefined) {
      watch = new UnitWatch(site, unit, newWatchState(), new Set());
      this.#watches.set(key, watch);
    }
    return watch;
  }

  find(site: string, unit: string): UnitWatch | null {
    return this.#watches.get(unitKey(site, unit)) ?? null;
  }

  adopt(watch: UnitWatch): void {
    this.#watches.set(unitKey(watch.site, watch.unit), watch);
  }

  /**
   * Writes the checkpoints that are older than their watches. A failure is no loss: a restart then
   * judges a little more again, with the same outcome.
   */
  async saveCheckpoints(records: Pick<RecordStore, 'commitJudgement'>, log: Logger): Promise<void> {
    const dirty = [...this.#watches.values()].filter((watch) => watch.dirty);
    for (let from = 0; from < dirty.length; from += CHECKPOINTS_PER_COMMIT) {
      const some = dirty.slice(from, from + CHECKPOINTS_PER_COMMIT);
      const checkpoints = some.map((watch) =>
        checkpointOf(watch.site, watch.unit, watch.state, watch.serviceIds),
      );
      const states = some.map((watch) => watch.state);
      try {
        await records.commitJudgement({ checkpoints, alarms: [], episodes: [] });
      } catch (error) {
        log.warn({ err: error }, 'checkpoints cannot be saved; tried again');
        return;
      }
      some.forEach((watch, index) => {
        // It may have been judged further while this was written.
        watch.dirty = watch.state !== states[index];
      });
    }
  }
}
