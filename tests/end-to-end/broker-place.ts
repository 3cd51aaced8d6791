/** A real Mosquitto that was configured by the command, and ways to knock at its doors. */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { connectAsync, type IClientOptions, type MqttClient } from 'mqtt';
import { freePort } from '../contracts/free-port.ts';
import { type MosquittoServer, startMosquittoServer } from '../contracts/mosquitto-server.ts';
import { type CommandResult, lineside, temporaryPlace } from './server-process.ts';

/** Stands in the configuration for the port that the server will have. */
const PORT_TO_BE = 1;

export interface SignIn {
  readonly username: string;
  readonly password: string;
}

export interface BrokerPlace {
  readonly mosquitto: MosquittoServer;
  readonly housePort: number;
  readonly clientPort: number;
  /** Where the command writes. */
  readonly out: string;
  readonly data: string;
  readonly fleetFile: string;
  /** The password of the user `lineside`. */
  readonly ownPassword: string;
  /** `lineside ARGS` on this place's data; fails the test when it does not end with `status`. */
  run(args: readonly string[], status?: number): Promise<CommandResult>;
  /** `lineside broker files` as at the start, then SIGHUP. */
  filesAndReload(): Promise<void>;
  node(site: string, unit: string): Promise<SignIn>;
  reader(name: string, sites: readonly string[]): Promise<SignIn>;
  /** Connects without trying again, over what the port speaks; the place's end is its end. */
  connect(options: IClientOptions, port?: number, over?: 'mqtt' | 'mqtts'): Promise<MqttClient>;
  /** As our own processes do. */
  house(options?: IClientOptions): Promise<MqttClient>;
  stop(): Promise<void>;
}

/**
 * @param options of `broker files`, given the ports and a folder that has `files`.
 * @param before sign-ins to make before the files are written first.
 */
export async function startBrokerPlace(
  options: (place: { readonly clientPort: number; readonly folder: string }) => readonly string[],
  before: (place: Pick<BrokerPlace, 'node' | 'reader'>) => Promise<void>,
  files: Readonly<Record<string, string>> = {},
): Promise<BrokerPlace> {
  const place = temporaryPlace();
  const out = join(place.data, '..', 'broker');
  const given = join(place.data, '..', 'given');
  mkdirSync(given, { recursive: true });
  for (const [name, text] of Object.entries(files)) writeFileSync(join(given, name), text);
  const [housePort, clientPort] = [await freePort(), await freePort()];
  const run: BrokerPlace['run'] = async (args, status = 0) => {
    const result = await lineside([...args, '--data', place.data]);
    if (result.status === status) return result;
    throw new Error(`lineside ${args.join(' ')}: status ${result.status}: ${result.stderr}`);
  };
  const signIn = async (args: readonly string[]): Promise<SignIn> => {
    const { stdout } = await run(args);
    const [, username, password] = /^username=(.+)\npassword=(.+)\n$/.exec(stdout) ?? [];
    if (username === undefined || password === undefined) throw new Error(`no sign-in: ${stdout}`);
    return { username, password };
  };
  const node: BrokerPlace['node'] = (site, unit) => signIn(['node', 'create', site, unit]);
  const reader: BrokerPlace['reader'] = (name, sites) =>
    signIn(['broker', 'reader', name, ...sites.flatMap((site) => ['--site', site])]);
  await before({ node, reader });
  const addresses = [
    ...['--listen', `127.0.0.1:${PORT_TO_BE}`, '--house-listen', `127.0.0.1:${housePort}`],
    ...options({ clientPort, folder: given }),
  ];
  const makeFiles = ['broker', 'files', '--fleet', place.fleetFile, '--out', out, ...addresses];
  await run([...makeFiles, '--state', place.data]);
  const mosquitto = await startMosquittoServer({
    configuration: ({ port }) =>
      `user root\n${readFileSync(join(out, 'mosquitto.conf'), 'utf8')}`.replace(
        `listener ${PORT_TO_BE} `,
        `listener ${port} `,
      ),
  });
  const clients: MqttClient[] = [];
  const scheme = mosquitto.url.startsWith('mqtts') ? 'mqtts' : 'mqtt';
  const connect: BrokerPlace['connect'] = async (more, port = mosquitto.port, over = scheme) => {
    const client = await connectAsync(`${over}://127.0.0.1:${port}`, {
      reconnectPeriod: 0,
      ...more,
    });
    client.on('error', () => undefined);
    clients.push(client);
    return client;
  };
  const ownPassword = readFileSync(join(out, 'lineside-password'), 'utf8').trim();
  return {
    mosquitto,
    housePort,
    clientPort,
    out,
    data: place.data,
    fleetFile: place.fleetFile,
    ownPassword,
    run,
    filesAndReload: async () => {
      await run([...makeFiles, '--state', place.data]);
      mosquitto.reload();
    },
    node,
    reader,
    connect,
    house: (more = {}) =>
      connect({ username: 'lineside', password: ownPassword, ...more }, housePort, 'mqtt'),
    stop: async () => {
      await Promise.all(clients.map((client) => client.endAsync(true)));
      await mosquitto.stop();
      place.dispose();
    },
  };
}

/** What a client was given, as `topic payload`, from now on. */
export function heardBy(client: MqttClient): readonly string[] {
  const heard: string[] = [];
  client.on('message', (topic, payload) => heard.push(`${topic} ${payload}`));
  return heard;
}

/** Resolves when the connection ends. */
export function ended(client: MqttClient): Promise<void> {
  return new Promise((resolve) => {
    if (client.connected) client.once('close', () => resolve());
    else resolve();
  });
}
