/** The services of docker-compose.yml on local images, as a firm brings them up. */
import { execFile } from 'node:child_process';
import { randomInt, randomUUID } from 'node:crypto';
import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { request } from 'node:https';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { promisify } from 'node:util';
import { freePort } from '../contracts/free-port.ts';
import { docker, LINESIDE_IMAGE } from './lineside-image.ts';

const ROOT = join(import.meta.dirname, '..', '..');
export const DOMAIN = 'roofs.example';
const LONGEST_COMMAND_MS = 180_000;

/** The engine may be one that has other things as well, which are nobody's to remove. */
const PROJECT_PREFIX = 'lineside-test-arrangement-';

/** Those that go on; the others prepare something and end. */
export const SERVERS = ['alerting', 'api', 'broker', 'database', 'ingest', 'proxy'] as const;
const ONE_SHOTS = ['volumes', 'database-access', 'store', 'broker-files'] as const;

/** So that a run that was killed is swept. */
const LABELS = { 'org.testcontainers': 'true' };

/** Debian's tools are not those of the official images, and a test does not wait for half minutes. */
const HEALTH_CHECKS: Readonly<Record<string, object>> = {
  broker: { test: ['CMD', 'nc', '127.0.0.1', '1884', '-e', 'true'], interval: '2s' },
  database: {
    test: ['CMD', 'busybox', 'wget', '-q', '-O', '/dev/null', 'http://127.0.0.1:8086/ping'],
    interval: '2s',
  },
  proxy: { test: ['CMD', 'nc', '127.0.0.1', '443', '-e', 'true'], interval: '2s' },
};
const OUR_HEALTH_CHECK = { interval: '2s' };

interface Answer {
  readonly status: number;
  readonly body: string;
}

export interface Arrangement {
  /** `docker compose ARGS` on it; its standard output. */
  compose(...args: readonly string[]): Promise<string>;
  /** What `docker inspect` says of each of its containers, by service. */
  containers(): Promise<ReadonlyMap<string, InspectedContainer>>;
  /** Over HTTPS through the proxy, which this believes by its own authority. */
  ask(path: string, headers?: Readonly<Record<string, string>>): Promise<Answer>;
  /** `mqtts://`, and the authority of its certificate. */
  broker(): Promise<{ readonly url: string; readonly ca: string }>;
  dispose(): Promise<void>;
}

interface InspectedContainer {
  readonly State: {
    readonly Status: string;
    readonly ExitCode: number;
    readonly Health?: { readonly Status: string };
  };
  readonly Config: {
    readonly User: string;
    readonly Labels: Readonly<Record<string, string>>;
  };
  readonly HostConfig: {
    readonly ReadonlyRootfs: boolean;
    readonly CapAdd: readonly string[] | null;
    readonly CapDrop: readonly string[] | null;
    readonly SecurityOpt: readonly string[] | null;
    readonly Memory: number;
    readonly NanoCpus: number;
    readonly PidsLimit: number;
    readonly RestartPolicy: { readonly Name: string };
    readonly PortBindings: Readonly<Record<string, unknown>> | null;
  };
}

/** The command of the plugin, else Debian's; null where there is neither. */
export async function composeCommand(): Promise<readonly string[] | null> {
  for (const command of [['docker', 'compose'], ['docker-compose']]) {
    const [file = '', ...args] = command;
    try {
      await promisify(execFile)(file, [...args, 'version']);
      return command;
    } catch {
      // The next one.
    }
  }
  return null;
}

/** Lays out a folder as CONTAINERS.md says; starts nothing. */
export async function layOutArrangement(
  command: readonly string[],
  fleet: string,
): Promise<Arrangement> {
  await sweep();
  const folder = mkdtempSync(join(tmpdir(), 'lineside-arrangement-'));
  const container = join('services', 'lineside', 'container');
  for (const file of ['docker-compose.yml', container]) {
    cpSync(join(ROOT, file), join(folder, file), { recursive: true });
  }
  mkdirSync(join(folder, 'config'));
  writeFileSync(join(folder, 'config', 'fleet.yaml'), fleet);
  mkdirSync(join(folder, 'secrets'), { mode: 0o700 });
  for (const name of ['smtp-url', 'ping-secret']) writeFileSync(join(folder, 'secrets', name), '');
  const [http, https, mqtt] = [await freePort(), await freePort(), await freePort()];
  writeFileSync(join(folder, '.env'), environment({ http, https, mqtt }));
  writeFileSync(join(folder, 'test.yml'), JSON.stringify(forTests()));
  const project = `${PROJECT_PREFIX}${randomUUID().slice(0, 8)}`;
  const compose = async (...args: readonly string[]): Promise<string> => {
    const [file = '', ...first] = command;
    const files = ['-f', 'docker-compose.yml', '-f', 'test.yml', '-p', project];
    const { stdout } = await promisify(execFile)(file, [...first, ...files, ...args], {
      cwd: folder,
      env: process.env,
      timeout: LONGEST_COMMAND_MS,
    });
    return stdout;
  };
  let ca = '';
  const authority = async (): Promise<string> => {
    const file = '/certificates/caddy/pki/authorities/local/root.crt';
    if (ca === '') ca = await compose('exec', '-T', 'proxy', 'cat', file);
    return ca;
  };
  return {
    compose,
    containers: () => inspected(project),
    ask: async (path, headers = {}) =>
      askHttps({ port: https, ca: await authority() }, path, headers),
    broker: async () => ({ url: `mqtts://127.0.0.1:${mqtt}`, ca: await authority() }),
    dispose: async () => {
      await compose('down', '--volumes', '--timeout', '1');
      rmSync(folder, { recursive: true });
    },
  };
}

function environment(ports: { http: number; https: number; mqtt: number }): string {
  return `
LINESIDE_DOMAIN=${DOMAIN}
LINESIDE_ACME_EMAIL=office@${DOMAIN}
LINESIDE_CERTIFICATES=local_certs
LINESIDE_ISSUER=local
LINESIDE_IMAGE=${LINESIDE_IMAGE}
MOSQUITTO_IMAGE=lineside-test/mosquitto
INFLUXDB_IMAGE=lineside-test/influxdb
CADDY_IMAGE=lineside-test/caddy
LINESIDE_HTTP_PUBLISH=127.0.0.1:${ports.http}
LINESIDE_HTTPS_PUBLISH=127.0.0.1:${ports.https}
LINESIDE_MQTT_PUBLISH=127.0.0.1:${ports.mqtt}
LINESIDE_WEB_SUBNET=172.29.${randomInt(256)}.0/28
LINESIDE_OPEN_FILES=1024
`;
}

function forTests(): object {
  const services = [...SERVERS, ...ONE_SHOTS].map((name) => {
    const isServer = SERVERS.some((one) => one === name);
    const healthcheck = HEALTH_CHECKS[name] ?? OUR_HEALTH_CHECK;
    return [name, { labels: LABELS, ...(isServer ? { healthcheck } : {}) }];
  });
  return { services: Object.fromEntries(services) };
}

/** Networks and volumes of a run that was killed; its containers went when the engine started. */
async function sweep(): Promise<void> {
  for (const kind of ['network', 'volume']) {
    const ours = ['--filter', `name=^${PROJECT_PREFIX}`];
    const names = (await docker(kind, 'ls', '--quiet', ...ours)).stdout.trim();
    if (names !== '') await docker(kind, 'rm', ...names.split('\n'));
  }
}

async function inspected(project: string): Promise<ReadonlyMap<string, InspectedContainer>> {
  const ofProject = `label=com.docker.compose.project=${project}`;
  const ids = (await docker('ps', '--all', '--quiet', '--filter', ofProject)).stdout.trim();
  if (ids === '') return new Map();
  const all: InspectedContainer[] = JSON.parse(
    (await docker('inspect', ...ids.split('\n'))).stdout,
  );
  return new Map(all.map((one) => [one.Config.Labels['com.docker.compose.service'] ?? '', one]));
}

function askHttps(
  { port, ca }: { readonly port: number; readonly ca: string },
  path: string,
  headers: Readonly<Record<string, string>>,
): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const options = { host: '127.0.0.1', servername: DOMAIN, agent: false, port, ca, path };
    const asked = request({ ...options, headers: { host: DOMAIN, ...headers } }, (response) => {
      let body = '';
      response.setEncoding('utf8').on('data', (text: string) => {
        body += text;
      });
      response.on('end', () => resolve({ status: response.statusCode ?? 0, body }));
      response.on('error', reject);
    });
    asked.on('error', reject);
    asked.end();
  });
}
