import { ROLES, type Role } from './roles.ts';
import type { RunningServer } from './server.ts';

/** What standard output says once it serves, in one line; of all services without their names. */
export function readyLine(
  roles: ReadonlySet<Role>,
  { ingest, api }: Pick<RunningServer, 'ingest' | 'api'>,
): string {
  const named = ROLES.filter((role) => roles.has(role));
  const words = [
    'ready',
    ...(named.length === ROLES.length ? [] : [`role=${named.join(',')}`]),
    ...(api === null ? [] : [`http=${api.httpUrl}`]),
    ...(ingest === null ? [] : [`mqtt=${ingest.mqttUrl}`]),
  ];
  return `${words.join(' ')}\n`;
}
