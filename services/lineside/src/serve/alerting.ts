import {
  type Alerting,
  createChannels,
  pushKeys,
  startAlerting,
  type VapidKeys,
} from '@lineside/alerting';
import type { Fleet } from '@lineside/fleet';
import type { Ingest } from '@lineside/ingest';
import type { RecordStore } from '@lineside/storage';
import type { Logger } from 'pino';
import type { Registry } from 'prom-client';
import type { AlertingSettings } from '../alerting-settings.ts';
import { applyContactsFile } from './apply-contacts.ts';
import { applyRotaFile } from './rota-file.ts';

export interface AlertingOptions {
  readonly records: RecordStore;
  readonly ingest: Ingest;
  readonly fleet: () => Fleet;
  readonly publicUrl: () => string;
  readonly clock: () => number;
  readonly metrics: Registry;
  readonly log: Logger;
  readonly settings: AlertingSettings;
}

export interface OnCallFiles {
  readonly records: RecordStore;
  readonly dataFolder: string;
  readonly fleet: Fleet;
  readonly clock: () => number;
  readonly log: Logger;
  readonly settings: AlertingSettings;
}

/** Applies the files that say who is on call and how they are reached. */
export async function applyOnCallFiles(options: OnCallFiles): Promise<void> {
  const { settings, clock } = options;
  const rota = await applyRotaFile({ ...options, file: settings.rotaFile });
  const { contactsFile: file, allowedNetworks } = settings;
  await applyContactsFile({ ...options, file, rota, allowedNetworks, nowMs: clock() });
}

/** Starts alerting, which hears of the journal's growth from ingest. */
export async function openAlerting(options: AlertingOptions): Promise<Alerting> {
  const { records, ingest, clock, settings, log } = options;
  const channels = createChannels({
    mail: settings.mail,
    vapid: await vapidKeys(records, settings.vapidSubject),
    allowedNetworks: settings.allowedNetworks,
    clock,
  });
  const alerting = await startAlerting({
    ...options,
    latest: (site, unit) => ingest.latest(site, unit),
    judgedThroughMs: (site, unit) => ingest.judgedThroughMs(site, unit),
    channels,
    random: Math.random,
    log: log.child({ part: 'alerting' }),
  });
  const endHints = ingest.onJournal(() => alerting.journalGrew());
  return {
    ...alerting,
    stop: async () => {
      endHints();
      await alerting.stop();
    },
  };
}

/** Null without a subject: no web push. */
export async function vapidKeys(
  records: RecordStore,
  subject: string | null,
): Promise<VapidKeys | null> {
  return subject === null ? null : { subject, ...(await pushKeys(records)) };
}
