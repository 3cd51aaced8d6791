import { readFileSync } from 'node:fs';
import type { Fleet } from '@lineside/fleet';
import { type Ingest, type IngestSettings, startIngest, startReplayWorker } from '@lineside/ingest';
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

/** Broker, commit and judging over the stores, and what forgets what is past its time. */
export async function startIngestRole(house: OpenedHouse, fleet: Fleet): Promise<RunningIngest> {
  const { folder, records, settings, clock, metrics, log, undo } = house;
  const telemetry = await house.telemetry();
  const replayer = await startReplayWorker(telemetrySource(folder, settings.influx));
  undo.add(() => replayer.close());
  const ingest = await startListening(
    () =>
      startIngest({
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
  return { ingest, mqttUrl: `${scheme}://${urlHost(settings.mqttHost)}:${ingest.mqttPort}` };
}

function ingestSettings(settings: ServerSettings): IngestSettings {
  const { tlsFiles } = settings;
  return {
    mqttHost: settings.mqttHost,
    mqttPort: settings.mqttPort,
    retentionDays: settings.retentionDays,
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
