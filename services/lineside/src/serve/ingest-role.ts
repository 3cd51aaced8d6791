import { readFileSync } from 'node:fs';
import type { Fleet } from '@lineside/fleet';
import {
  type Ingest,
  type IngestSettings,
  OutsideBrokerRefused,
  startIngest,
  startReplayWorker,
} from '@lineside/ingest';
import { telemetrySource } from '../data-folder.ts';
import { CommandFailure, EXIT } from '../failure.ts';
import type { ServerSettings } from '../settings.ts';
import { startHousekeeping } from './housekeeping.ts';
import { startListening, urlHost } from './listening.ts';
import type { OpenedHouse } from './opened-house.ts';

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
  const replayer = await startReplayWorker(telemetrySource(folder, settings.influx));
  undo.add(() => replayer.close());
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
        settings: ingestSettings(settings),
      }),
    `${settings.mqttHost}:${settings.mqttPort}`,
    'LINESIDE_MQTT_PORT',
  );
  undo.add(() => ingest.close());
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

function ingestSettings(settings: ServerSettings): IngestSettings {
  const { tlsFiles } = settings;
  return {
    mqttHost: settings.mqttHost,
    mqttPort: settings.mqttPort,
    retentionDays: settings.retentionDays,
    outsideBroker: settings.outsideBroker,
    tls:
      tlsFiles === null
        ? null
        : {
            certificate: readPem(tlsFiles.certificate),
            key: readPem(tlsFiles.key),
            clientCa: tlsFiles.clientCa === null ? null : readPem(tlsFiles.clientCa),
          },
  };
}

function readPem(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    throw new CommandFailure(EXIT.badInput, `cannot read ${file}: ${words}`, { cause: error });
  }
}
