import type { Fleet } from '@lineside/fleet';
import {
  type Ingest,
  type IngestSettings,
  OutsideBrokerRefused,
  startIngest,
  startReplayWorker,
  type Trouble,
} from '@lineside/ingest';
import type { TelemetryStore } from '@lineside/storage';
import { telemetrySource } from '../data-folder.ts';
import { CommandFailure, EXIT } from '../failure.ts';
import { notePlace, placeWarning } from '../readings-place.ts';
import type { ServerSettings } from '../settings.ts';
import { CertificateEnds, type CertificateUse } from './certificate-ends.ts';
import { CertificateWatch } from './certificate-watch.ts';
import { DiskWatch } from './disk-watch.ts';
import { watchFarCertificates } from './far-certificates.ts';
import { startHousekeeping } from './housekeeping.ts';
import { startListening, urlHost } from './listening.ts';
import type { OpenedHouse } from './opened-house.ts';
import { StoreWatch } from './store-watch.ts';

export interface RunningIngest {
  readonly ingest: Ingest;
  readonly mqttUrl: string;
}

/** Broker or the way to an outside one, commit and judging over the stores, and what forgets what is past its time. */
export async function startIngestRole(house: OpenedHouse, fleet: Fleet): Promise<RunningIngest> {
  const { folder, records, settings, clock, metrics, log, undo } = house;
  const { outsideBroker } = settings;
  if (settings.isMqttPortIgnored) {
    log.warn('LINESIDE_MQTT_PORT is ignored: LINESIDE_MQTT_URL names an outside broker');
  }
  const telemetry = await house.telemetry();
  seeToPlace(house);
  const replayer = await startReplayWorker(telemetrySource(folder, settings.influx));
  undo.add(() => replayer.close());
  const watches = await watchSurroundings(house, telemetry);
  const ingest = await startListening(
    () =>
      startAtBroker({
        telemetry,
        records,
        fleet: () => fleet,
        clock,
        metrics,
        replayer,
        log: log.child({ part: 'ingest' }),
        settings: ingestSettings(settings, watches.certificate?.tls ?? null),
        troubles: watches.troubles,
      }),
    `${settings.mqttHost}:${settings.mqttPort}`,
    'LINESIDE_MQTT',
  );
  undo.add(() => ingest.close());
  watches.certificate?.start((tls) => ingest.renewTls(tls));
  undo.add(
    startHousekeeping({ telemetry, records, clock, log, retentionDays: settings.retentionDays }),
  );
  const scheme = settings.tlsFiles === null ? 'mqtt' : 'mqtts';
  const embeddedUrl = `${scheme}://${urlHost(settings.mqttHost)}:${ingest.mqttPort}`;
  return { ingest, mqttUrl: outsideBroker?.url ?? embeddedUrl };
}

/** An outside broker that turns us away is the same as a port that cannot be opened. */
async function startAtBroker(parts: Parameters<typeof startIngest>[0]): Promise<Ingest> {
  try {
    return await startIngest(parts);
  } catch (error) {
    if (!(error instanceof OutsideBrokerRefused)) throw error;
    throw new CommandFailure(EXIT.cannotStart, `outside broker at ${error.message}`, {
      cause: error,
    });
  }
}

interface Surroundings {
  /** Null while the broker speaks without TLS. */
  readonly certificate: CertificateWatch | null;
  readonly troubles: () => readonly Trouble[];
}

async function watchSurroundings(
  house: OpenedHouse,
  telemetry: TelemetryStore,
): Promise<Surroundings> {
  const { folder, settings, undo } = house;
  const parts = { ...house, log: house.log.child({ part: 'surroundings' }) };
  const disk = new DiskWatch({ ...parts, folder: folder.root });
  undo.add(() => disk.stop());
  await disk.start();
  const store = new StoreWatch({ ...parts, telemetry });
  undo.add(() => store.stop());
  store.start();
  const ends = new CertificateEnds(parts.metrics, parts.log, parts.clock);
  const files = settings.tlsFiles;
  const certificate = files === null ? null : new CertificateWatch({ ...parts, ends, files });
  undo.add(() => certificate?.stop());
  undo.add(watchFarCertificates(farUrls(settings), ends));
  const farWords = (): Trouble[] => {
    const reason = ends.words('outside-broker');
    return reason === null ? [] : [{ part: 'broker', reason }];
  };
  return {
    certificate,
    troubles: () => [
      ...disk.troubles(),
      ...store.troubles(),
      ...(certificate?.troubles() ?? []),
      ...farWords(),
    ],
  };
}

/** What others show a certificate at for us. */
function farUrls({ outsideBroker, publicUrl }: ServerSettings): Map<CertificateUse, string> {
  const urls = new Map<CertificateUse, string>();
  if (outsideBroker?.url.startsWith('mqtts:')) urls.set('outside-broker', outsideBroker.url);
  if (publicUrl?.startsWith('https:')) urls.set('web', publicUrl);
  return urls;
}

function ingestSettings(settings: ServerSettings, tls: IngestSettings['tls']): IngestSettings {
  const { mqttHost, mqttPort, retentionDays, outsideBroker } = settings;
  return { mqttHost, mqttPort, retentionDays, outsideBroker, tls };
}

function seeToPlace({ folder, settings, log }: OpenedHouse): void {
  const warning = placeWarning(folder, settings.influx);
  if (warning !== null) log.warn(warning);
  try {
    notePlace(folder, settings.influx);
  } catch (error) {
    log.warn({ err: error }, 'cannot note in the data folder where readings are');
  }
}
