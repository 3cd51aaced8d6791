import type { Fleet } from '@lineside/fleet';
import type { RecordStore } from '@lineside/storage';
import type { Logger } from 'pino';
import type { AlertingSettings } from '../alerting-settings.ts';
import { applyContactsFile } from './apply-contacts.ts';
import { applyRotaFile } from './rota-file.ts';

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
  const rota = await applyRotaFile({ ...options, file: settings.rotaFile });
  const { contactsFile: file, allowedNetworks } = settings;
  await applyContactsFile({ ...options, file, rota, allowedNetworks, nowMs: clock() });
}
