/** A server with a bystander whom it is reached by phones on loopback. */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { Phones, type ReceivedPage } from '../faults/phones.ts';
import { eventually } from './eventually.ts';
import { type ServerProcess, startServerProcess, temporaryPlace } from './server-process.ts';

export interface ToldPage {
  readonly id: string;
  readonly title: string;
  readonly body: string;
  readonly key: string;
}

export class BystanderPlace {
  readonly phones: Phones = new Phones(() => 0);
  readonly #place = temporaryPlace();
  readonly #servers: ServerProcess[] = [];

  get data(): string {
    return this.#place.data;
  }

  /** Starts a server that pages the office's phone; a crash is told after a second. */
  async serve(env: Readonly<Record<string, string>> = {}): Promise<ServerProcess> {
    const file = join(dirname(this.#place.fleetFile), 'contacts.yaml');
    if (!existsSync(file)) {
      await this.phones.listen();
      writeFileSync(file, this.phones.contactsFile(['desk']), { mode: 0o600 });
    }
    const server = await startServerProcess(this.#place, {
      LINESIDE_CONTACTS: file,
      LINESIDE_WEBHOOK_ALLOW: '127.0.0.1/32',
      LINESIDE_CRASH_GRACE_SECONDS: '1',
      ...env,
    });
    this.#servers.push(server);
    return server;
  }

  /** What the office was told of the server, in order. */
  told(): readonly ToldPage[] {
    return this.phones.received
      .filter(({ person }) => person === 'desk')
      .map(({ id, body }: ReceivedPage) => ({ id, ...JSON.parse(body).data }));
  }

  /** Process ids of bystanders of this place that run now. */
  bystanders(): readonly number[] {
    return readdirSync('/proc').flatMap((name) => {
      const words = /^\d+$/.test(name) ? commandOf(name) : '';
      return words.includes('bystander') && words.includes(this.data) ? [Number(name)] : [];
    });
  }

  untilBystanders(count: number): Promise<readonly number[]> {
    return eventually(
      async () => this.bystanders(),
      (all) => all.length === count,
    );
  }

  /** Nothing is left behind: servers are killed, and a bystander without its folder ends. */
  async dispose(): Promise<void> {
    for (const server of this.#servers) await server.kill();
    this.#place.dispose();
    await this.untilBystanders(0);
    await this.phones.close();
  }
}

function commandOf(pid: string): string {
  try {
    return readFileSync(`/proc/${pid}/cmdline`, 'utf8');
  } catch {
    return '';
  }
}
