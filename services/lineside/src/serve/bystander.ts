import { hostname } from 'node:os';
import { createWhomToTell } from '@lineside/alerting';
import type { RecordStore } from '@lineside/storage';
import type { Logger } from 'pino';
import type { Registry } from 'prom-client';
import { BystanderChild } from '../bystander/child.ts';
import { Pulse, type PulseParts, registerPulse } from '../bystander/pulse.ts';
import type { ServerSettings } from '../settings.ts';
import { vapidKeys } from './vapid-keys.ts';

const BEAT_EVERY_MS = 5_000;

/** How soon a new contact point, or a change of whoever is on call, is known to the bystander. */
const CONTACTS_EVERY_MS = 30_000;

export interface StandByOptions {
  readonly records: RecordStore;
  readonly dataFolder: string;
  /** False: there is no second process, whoever could be told. */
  readonly isLookedAfter: boolean;
  readonly settings: Pick<ServerSettings, 'alerting' | 'publicUrl'>;
  readonly clock: () => number;
  readonly log: Logger;
}

/** What the server does for its bystander. */
export interface StoodBy {
  /** Everything runs: from now on the parts beat. */
  started(parts: PulseParts, metrics: Registry): void;
  /** The server was told to stop. */
  farewell(): void;
  /** Without a farewell the server could not start. Resolves when no process is left. */
  end(): Promise<void>;
}

/**
 * Has a second process look on from the start on. There is none while nobody could be told and no
 * ping is set, and it comes with the first contact point.
 */
export async function standBy(options: StandByOptions): Promise<StoodBy> {
  const { records, settings, clock, dataFolder, isLookedAfter } = options;
  const { mail, allowedNetworks, vapidSubject, ping, crashGraceMs } = settings.alerting;
  const log = options.log.child({ part: 'bystander' });
  const vapid = await vapidKeys(records, vapidSubject);
  const isOpen = { webhook: true, 'e-mail': mail !== null, 'web-push': vapid !== null };
  const whomToTell = createWhomToTell(records, (kind) => isOpen[kind], log);
  let contacts = await whomToTell(clock());
  const place = settings.publicUrl ?? `It runs on ${hostname()}.`;
  const child = new BystanderChild({
    dataFolder,
    log,
    opening: () => [
      {
        kind: 'settings',
        place,
        graceMs: crashGraceMs,
        mail,
        vapid,
        allowedNetworks: [...allowedNetworks],
        ping,
      },
      { kind: 'contacts', contacts },
      { kind: 'beats', beats: [], readings: null },
    ],
  });
  const startIfWanted = (): void => {
    if (isLookedAfter && (contacts.length > 0 || ping !== null)) child.start();
  };
  const refresh = async (): Promise<void> => {
    try {
      const now = await whomToTell(clock());
      if (JSON.stringify(now) !== JSON.stringify(contacts)) {
        contacts = now;
        child.say({ kind: 'contacts', contacts });
      }
      startIfWanted();
    } catch (error) {
      log.warn({ err: error }, 'contact points cannot be read, those known before hold');
    }
  };
  let pulse: Pulse | null = null;
  const beat = (): void => {
    void pulse?.count();
    child.say({ kind: 'beats', beats: pulse?.beats() ?? [], readings: pulse?.readings() ?? null });
  };
  startIfWanted();
  const timers = [
    setInterval(beat, BEAT_EVERY_MS).unref(),
    setInterval(refresh, CONTACTS_EVERY_MS).unref(),
  ];
  return {
    started(parts, metrics) {
      pulse = new Pulse(parts);
      registerPulse(metrics, pulse, () => child.lookAgeMs());
      beat();
    },
    farewell: () => child.sayLast({ kind: 'farewell' }),
    async end() {
      timers.forEach(clearInterval);
      child.sayLast({ kind: 'did-not-start' });
      await child.over();
    },
  };
}
