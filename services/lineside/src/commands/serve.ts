import { CommandFailure, EXIT } from '../failure.ts';
import { readyLine } from '../serve/ready-line.ts';
import { refuseIdleFleetFile, rolesFrom } from '../serve/roles.ts';
import { startServer } from '../serve/server.ts';
import { serverLog } from '../serve/server-log.ts';
import { untilToldToStop } from '../serve/stop-signal.ts';
import { readSettings, setting } from '../settings.ts';

export interface ServeOptions {
  readonly fleet?: string;
  readonly data?: string;
  readonly only: readonly string[];
}

/** Runs the server, or the services that `--only` names, until SIGTERM or SIGINT. */
export async function serve(options: ServeOptions): Promise<void> {
  // From the start on: a signal that nobody listens to ends the process as a crash does.
  const toldToStop = untilToldToStop();
  const settings = readSettings(process.env);
  const roles = rolesFrom(options.only);
  refuseIdleFleetFile(roles, options.fleet);
  if (options.only.length > 0 && settings.outsideBroker === null) {
    throw new CommandFailure(
      EXIT.badInput,
      '--only: services in processes of their own find each other by an outside broker; set LINESIDE_MQTT_URL',
    );
  }
  const log = serverLog(settings.logLevel);
  const server = await startServer({
    roles,
    fleetFile: options.fleet ?? setting(process.env, 'LINESIDE_FLEET'),
    dataFolder: dataFolderFrom(options.data),
    isLookedAfter: true,
    settings,
    log,
  });
  const welcomeLink = server.api?.welcomeLink ?? null;
  if (welcomeLink !== null) {
    process.stderr.write(
      'Nobody has an account yet. This link works once, for the first one (each start prints a new ' +
        'link until then):\n' +
        `  ${welcomeLink}\n`,
    );
  }
  process.stdout.write(readyLine(roles, server));
  await toldToStop;
  log.info('stopping');
  await server.close();
}

/** `--data`, else `LINESIDE_DATA`, else a failure that says so. */
export function dataFolderFrom(option: string | undefined): string {
  const folder = option ?? setting(process.env, 'LINESIDE_DATA');
  if (folder !== null) return folder;
  throw new CommandFailure(EXIT.badInput, 'no data folder: give --data DIR or set LINESIDE_DATA');
}
