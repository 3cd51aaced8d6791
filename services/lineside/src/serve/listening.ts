import { CommandFailure, EXIT } from '../failure.ts';

const REASONS: Readonly<Record<string, string>> = {
  EADDRINUSE: 'the port is in use',
  EACCES: 'not allowed to use that port',
  EADDRNOTAVAIL: 'this machine does not have that address',
};

/**
 * Runs what opens a listener; why it cannot listen becomes a `CommandFailure` (3).
 *
 * @param where host and port, for people
 * @param settings what the names of the settings of host and port begin with
 */
export async function startListening<T>(
  begin: () => Promise<T>,
  where: string,
  settings: string,
): Promise<T> {
  try {
    return await begin();
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? error.code : null;
    const reason = typeof code === 'string' ? REASONS[code] : undefined;
    if (reason === undefined) throw error;
    const name = `${settings}_${code === 'EADDRNOTAVAIL' ? 'HOST' : 'PORT'}`;
    throw new CommandFailure(
      EXIT.cannotStart,
      `cannot listen on ${where}: ${reason} (set ${name})`,
      { cause: error },
    );
  }
}

/** An address as it stands in a URL; a listener on all addresses is reached by loopback. */
export function urlHost(host: string): string {
  if (host === '0.0.0.0' || host === '::') return '127.0.0.1';
  return host.includes(':') ? `[${host}]` : host;
}
