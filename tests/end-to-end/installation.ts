/** A running server with the credentials that a test needs, and plain ways to talk to it. */
import mqtt, { type MqttClient } from 'mqtt';
import {
  lineside,
  type ServerProcess,
  startServerProcess,
  temporaryPlace,
} from './server-process.ts';

export interface Installation {
  readonly server: ServerProcess;
  readonly place: ReturnType<typeof temporaryPlace>;
  readonly officeToken: string;
  /** An MQTT client signed in as the unit's node. */
  node(site: string, unit: string): Promise<MqttClient>;
  /** An MQTT client signed in with the office token, for reading alarms. */
  reader(): Promise<MqttClient>;
  /** GET with the office token; the parsed JSON body. */
  get<T>(path: string): Promise<T>;
  /** POST with the office token. */
  post(path: string, body?: unknown): Promise<{ readonly status: number; readonly body: unknown }>;
  /** Ends the server and starts it again over the same data folder. */
  restart(how: 'stop' | 'kill'): Promise<void>;
  dispose(): Promise<void>;
}

export async function install(
  fleet?: string,
  env: Readonly<Record<string, string>> = {},
): Promise<Installation> {
  const place = temporaryPlace(fleet);
  let server = await startServerProcess(place, env);
  const officeToken = await token(place.data, ['--role', 'office']);
  const clients: MqttClient[] = [];

  const connect = async (username: string, password: string): Promise<MqttClient> => {
    const client = await mqtt.connectAsync(server.mqtt, {
      username,
      password,
      reconnectPeriod: 0,
      clientId: `${username.replace('/', '-')}-${clients.length}`,
    });
    clients.push(client);
    return client;
  };
  const headers = { authorization: `Bearer ${officeToken}` };

  return {
    get server() {
      return server;
    },
    place,
    officeToken,
    node: async (site, unit) => {
      const { username, password } = await nodeSignIn(place.data, site, unit);
      return connect(username, password);
    },
    reader: () => connect('token', officeToken),
    get: async <T>(path: string) => {
      const answer = await fetch(`${server.http}${path}`, { headers });
      if (!answer.ok) throw new Error(`GET ${path}: ${answer.status} ${await answer.text()}`);
      return (await answer.json()) as T;
    },
    post: async (path, body) => {
      const answer = await fetch(`${server.http}${path}`, {
        method: 'POST',
        headers: body === undefined ? headers : { ...headers, 'content-type': 'application/json' },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      });
      return { status: answer.status, body: await answer.json() };
    },
    restart: async (how) => {
      await (how === 'kill' ? server.kill() : server.stop());
      server = await startServerProcess(place, env);
    },
    dispose: async () => {
      await Promise.all(clients.map((client) => client.endAsync(true)));
      await server.stop();
      place.dispose();
    },
  };
}

/** A new bearer token, made by the command. */
export async function token(data: string, args: readonly string[]): Promise<string> {
  const made = await lineside(['token', 'create', ...args, '--data', data]);
  if (made.status !== 0) throw new Error(made.stderr);
  return made.stdout.trim();
}

/** A node's sign-in, made by the command. */
export async function nodeSignIn(
  data: string,
  site: string,
  unit: string,
): Promise<{ readonly username: string; readonly password: string }> {
  const made = await lineside(['node', 'create', site, unit, '--data', data]);
  const match = /^username=(.+)\npassword=(.+)\n$/.exec(made.stdout);
  if (!match?.[1] || !match[2]) throw new Error(`node create: ${made.stdout}${made.stderr}`);
  return { username: match[1], password: match[2] };
}
