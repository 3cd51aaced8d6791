import type { Fleet } from '@lineside/fleet';
import { type RecordStore, StoreError } from '@lineside/storage';
import type { Logger } from 'pino';
import type { AlertingSettings } from '../alerting-settings.ts';
import { applyContactsFile } from './apply-contacts.ts';
import { applyRotaFile } from './rota-file.ts';

/** Somebody may change the rota at the api while this process starts; nobody does so all the time. */
const MOST_TRIES = 5;

export interface OnCallFiles {
  readonly records: RecordStore;
  readonly dataFolder: string;
  readonly fleet: Fleet;
  readonly clock: () => number;
  readonly log: Logger;
  readonly settings: AlertingSettings;
}

/**
 * Applies the files that say who is on call and how they are reached.
 * @throws CommandFailure (2) that names file, line and what to correct.
 */
export async function applyOnCallFiles(options: OnCallFiles): Promise<void> {
  const { settings, clock } = options;
  const rota = await againOnConflict(() => applyRotaFile({ ...options, file: settings.rotaFile }));
  const { contactsFile: file, allowedNetworks } = settings;
  await applyContactsFile({ ...options, file, rota, allowedNetworks, nowMs: clock() });
}

async function againOnConflict<T>(apply: () => Promise<T>): Promise<T> {
  for (let tries = 1; ; tries += 1) {
    try {
      return await apply();
    } catch (error) {
      const isConflict = error instanceof StoreError && error.code === 'STORE_CONFLICT';
      if (!isConflict || tries === MOST_TRIES) throw error;
    }
  }
}
