import { CommandFailure, EXIT } from '../failure.ts';
import { startServer } from '../serve/server.ts';
import { serverLog } from '../serve/server-log.ts';
import { untilToldToStop } from '../serve/stop-signal.ts';
import { readSettings, setting } from '../settings.ts';

export interface ServeOptions {
  readonly fleet?: string;
  readonly data?: string;
}

/** Runs the server until SIGTERM or SIGINT. */
export async function serve(options: ServeOptions): Promise<void> {
  // From the start on: a signal that nobody listens to ends the process as a crash does.
  const toldToStop = untilToldToStop();
  const settings = readSettings(process.env);
  const log = serverLog(settings.logLevel);
  const server = await startServer({
    fleetFile: options.fleet ?? setting(process.env, 'LINESIDE_FLEET'),
    dataFolder: dataFolderFrom(options.data),
    isLookedAfter: true,
    settings,
    log,
  });
  if (server.welcomeLink !== null) {
    process.stderr.write(
      'Nobody has an account yet. This link works once, for the first one (each start prints a new ' +
        'link until then):\n' +
        `  ${server.welcomeLink}\n`,
    );
  }
  process.stdout.write(`ready http=${server.httpUrl} mqtt=${server.mqttUrl}\n`);
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
