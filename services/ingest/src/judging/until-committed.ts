import { StoreError } from '@lineside/storage';
import { growingPauseMs, type Pauses } from '../commit/pause.ts';
import type { StoreHealth } from '../commit/store-health.ts';

/** Conflicts that are tried again at once: people are slow, so more of them are a mistake. */
const CONFLICTS_AT_ONCE = 5;

/**
 * Runs a commit until it succeeds; it is to read anew what it builds on each time, since a person
 * may have changed an alarm in between. False only when the store refuses while closing.
 */
export type UntilCommitted = (commit: () => Promise<boolean>) => Promise<boolean>;

export interface CommitRetryParts {
  readonly health: StoreHealth;
  readonly pauses: Pauses;
  /** Called after a commit that changed alarms. */
  readonly onAlarms: () => void;
}

/** @returns a retry whose commits resolve with whether they changed alarms. */
export function createUntilCommitted({
  health,
  pauses,
  onAlarms,
}: CommitRetryParts): UntilCommitted {
  return async (commit) => {
    for (let attempt = 1; ; attempt++) {
      try {
        const changedAlarms = await commit();
        health.succeeded();
        if (changedAlarms) onAlarms();
        return true;
      } catch (error) {
        const isConflict = error instanceof StoreError && error.code === 'STORE_CONFLICT';
        if (isConflict && attempt <= CONFLICTS_AT_ONCE) continue;
        health.failed(error);
        if (pauses.ended) return false;
        await pauses.wait(growingPauseMs(attempt));
      }
    }
  };
}
