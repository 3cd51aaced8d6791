import { connect } from 'node:net';
import { CommandFailure, EXIT } from '../failure.ts';

const CONNECT_MOST_MS = 5_000;
const USUAL_PORTS: Readonly<Record<string, number>> = { 'mqtt:': 1883, 'mqtts:': 8883 };

/**
 * Makes sure that somebody listens at the broker's address, so that a wrong one is told at once
 * rather than tried for ever. Throws `CommandFailure` (2: not an address, 3: nobody there).
 */
export async function reachBroker(address: string): Promise<void> {
  const url = URL.canParse(address) ? new URL(address) : null;
  const usualPort = url === null ? undefined : USUAL_PORTS[url.protocol];
  if (url === null || usualPort === undefined || url.hostname === '') {
    throw new CommandFailure(
      EXIT.badInput,
      `--mqtt: expected mqtt://host:port or mqtts://host:port, found '${address}'`,
    );
  }
  const host = url.hostname.replace(/^\[|\]$/g, '');
  const problem = await tryToConnect(host, Number(url.port || usualPort));
  if (problem === null) return;
  throw new CommandFailure(EXIT.cannotStart, `no broker answers at ${address}: ${problem}`);
}

/** Null when the connection came about, else why not. */
function tryToConnect(host: string, port: number): Promise<string | null> {
  return new Promise((resolve) => {
    const socket = connect({ host, port, timeout: CONNECT_MOST_MS });
    const end = (problem: string | null): void => {
      socket.destroy();
      resolve(problem);
    };
    socket.once('connect', () => end(null));
    socket.once('timeout', () => end('no answer in time'));
    socket.once('error', (error) => end(error.message));
  });
}
