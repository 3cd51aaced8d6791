/** A house of three processes around a real Mosquitto, as a firm runs it on one host. */
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import mqtt, { type MqttClient } from 'mqtt';
import { freePort } from '../contracts/free-port.ts';
import {
  type MosquittoServer,
  mosquittoPasswords,
  startMosquittoServer,
} from '../contracts/mosquitto-server.ts';
import { Phones } from '../faults/phones.ts';
import { eventually } from './eventually.ts';
import { token } from './installation.ts';
import {
  type CommandResult,
  lineside,
  type ServingProcess,
  serve,
  temporaryPlace,
} from './server-process.ts';

export type Service = 'ingest' | 'api' | 'alerting';

export interface Health {
  readonly state: string;
  readonly ingest: { readonly state: string; readonly reason: string | null };
  readonly alerting: { readonly state: string; readonly reason: string | null };
  readonly broker: { readonly state: string; readonly reason: string | null };
  readonly pending: number | null;
}

/** Who may do what at the broker: nodes their own topics, Lineside everything of Lineside's. */
const ACCESS = `
pattern write lineside/%u/telemetry
pattern write lineside/%u/presence

user lineside
topic readwrite lineside/#
topic readwrite lineside-house/#

user reader
topic read lineside/+/+/alarm/+
`;

const PASSWORDS = {
  lineside: 'house',
  reader: 'reads',
  'harbour-mall/rtu-01': 'node',
  'harbour-mall/rtu-02': 'other',
};

const READY: Readonly<Record<Service, RegExp>> = {
  ingest: /^ready role=ingest mqtt=(\S+)\n/,
  api: /^ready role=api http=(\S+)\n/,
  alerting: /^ready role=alerting\n/,
};

export class SeparateHouse {
  readonly phones: Phones = new Phones(() => 0);
  readonly broker: MosquittoServer;
  readonly #place = temporaryPlace();
  readonly #processes = new Map<Service, ServingProcess>();
  readonly #clients: MqttClient[] = [];
  readonly #healthPorts: Readonly<Record<Service, number>>;
  #httpUrl = '';
  #officeToken = '';

  private constructor(broker: MosquittoServer, healthPorts: Readonly<Record<Service, number>>) {
    this.broker = broker;
    this.#healthPorts = healthPorts;
  }

  /** Nothing runs yet but the phones; the broker has a port and is not there. */
  static async prepare(): Promise<SeparateHouse> {
    const broker = await startMosquittoServer({
      files: { passwords: mosquittoPasswords(PASSWORDS), access: ACCESS },
      lines: ({ folder }) => [
        'allow_anonymous false',
        `password_file ${join(folder, 'passwords')}`,
        `acl_file ${join(folder, 'access')}`,
      ],
    });
    await broker.end();
    const [ingest, api, alerting] = [await freePort(), await freePort(), await freePort()];
    const house = new SeparateHouse(broker, { ingest, api, alerting });
    await house.phones.listen();
    const contacts = house.phones.contactsFile(['desk']);
    writeFileSync(house.#contactsFile, contacts, { mode: 0o600 });
    return house;
  }

  get data(): string {
    return this.#place.data;
  }

  get httpUrl(): string {
    return this.#httpUrl;
  }

  get officeHeaders(): Readonly<Record<string, string>> {
    return { authorization: `Bearer ${this.#officeToken}` };
  }

  async start(service: Service): Promise<void> {
    const args = ['--only', service, '--data', this.data];
    if (service === 'ingest') args.push('--fleet', this.#place.fleetFile);
    const env = { ...this.settings, LINESIDE_HEALTH_PORT: String(this.#healthPorts[service]) };
    const { process, ready } = await serve(args, env, READY[service]);
    this.#processes.set(service, process);
    if (service !== 'api') return;
    this.#httpUrl = ready[1] ?? '';
    if (this.#officeToken === '') this.#officeToken = await token(this.data, ['--role', 'office']);
  }

  async kill(service: Service): Promise<void> {
    await this.#processes.get(service)?.kill();
  }

  /** What `lineside health` says of a service. */
  healthCommand(service: Service): Promise<CommandResult> {
    return lineside(['health'], { LINESIDE_HEALTH_PORT: String(this.#healthPorts[service]) });
  }

  /** SIGTERM for each; their exit statuses. */
  stop(...services: readonly Service[]): Promise<readonly (number | null | undefined)[]> {
    return Promise.all(services.map((one) => this.#processes.get(one)?.stop()));
  }

  get settings(): Readonly<Record<string, string>> {
    return {
      LINESIDE_MQTT_URL: this.broker.url.replace('mqtt://', 'mqtt://lineside@'),
      LINESIDE_MQTT_PASSWORD: PASSWORDS.lineside,
      LINESIDE_CONTACTS: this.#contactsFile,
      LINESIDE_WEBHOOK_ALLOW: '127.0.0.1/32',
      LINESIDE_PUBLIC_URL: 'http://lineside.example',
    };
  }

  async client(username: keyof typeof PASSWORDS): Promise<MqttClient> {
    const options = { username, password: PASSWORDS[username], reconnectPeriod: 100 };
    const client = await mqtt.connectAsync(this.broker.url, options);
    this.#clients.push(client);
    return client;
  }

  async get<T>(path: string): Promise<T> {
    const answer = await fetch(`${this.#httpUrl}${path}`, { headers: this.officeHeaders });
    if (!answer.ok) throw new Error(`GET ${path}: ${answer.status} ${await answer.text()}`);
    return (await answer.json()) as T;
  }

  async post<T>(path: string, body: object): Promise<T> {
    const answer = await fetch(`${this.#httpUrl}${path}`, {
      method: 'POST',
      headers: { ...this.officeHeaders, 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });
    if (!answer.ok) throw new Error(`POST ${path}: ${answer.status} ${await answer.text()}`);
    return (await answer.json()) as T;
  }

  healthOnce(isThat: (health: Health) => boolean): Promise<Health> {
    return eventually(() => this.get<Health>('/api/health'), isThat, { withinMs: 60_000 });
  }

  async dispose(): Promise<void> {
    await Promise.all(this.#clients.map((client) => client.endAsync(true)));
    for (const process of this.#processes.values()) await process.kill();
    await this.broker.stop();
    await this.phones.close();
    this.#place.dispose();
  }

  get #contactsFile(): string {
    return join(dirname(this.#place.fleetFile), 'contacts.yaml');
  }
}
