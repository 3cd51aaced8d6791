import { parseNetworks } from '@lineside/alerting';
import { CommandFailure, EXIT } from './failure.ts';

const NAME = 'LINESIDE_TRUSTED_PROXIES';

/**
 * Networks (CIDR notation, comma between) whose proxies say by X-Forwarded-For who asks. One that
 * holds every address is refused: each client could then name itself, and escape every limit.
 * Throws `CommandFailure` (2).
 */
export function readTrustedProxies(text: string | null): readonly string[] {
  const networks = (text ?? '').split(',').flatMap((one) => one.trim() || []);
  try {
    for (const [network, bits] of parseNetworks(networks)) {
      if (bits > 0) continue;
      throw new RangeError(`${network}/0 is every address, so each client could name itself`);
    }
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new CommandFailure(EXIT.badInput, `${NAME}: ${error.message}`);
  }
  return networks;
}
