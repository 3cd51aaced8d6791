import type { Fleet } from '@lineside/fleet';
import type { Ingest } from '@lineside/ingest';
import type { RecordStore } from '@lineside/storage';
import { ROLES } from './roles.ts';
import { type ServerOptions, startServer } from './server.ts';

/** Everything of Lineside in one process. */
export interface WholeServer {
  readonly httpUrl: string;
  readonly mqttUrl: string;
  readonly publicUrl: string;
  readonly fleet: Fleet;
  readonly records: RecordStore;
  readonly ingest: Ingest;
  /** One-time link for the first person; null once somebody has an account. */
  readonly welcomeLink: string | null;
  close(): Promise<void>;
}

/** `startServer` with all services. */
export async function startEverything(options: Omit<ServerOptions, 'roles'>): Promise<WholeServer> {
  const { ingest, api, records, close } = await startServer({ ...options, roles: new Set(ROLES) });
  if (ingest === null || api === null) throw new TypeError('a service of all was not started');
  return { ...api, ...ingest, records, close };
}
