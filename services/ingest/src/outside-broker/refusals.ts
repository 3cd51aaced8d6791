/** Why a connection did not come about, or ended. */
export interface Trouble {
  /**
   * `version`: the broker does not speak this version of MQTT. `refused`: a person has to change
   * something, trying again does not help by itself. `out`: nobody there, or no longer.
   */
  readonly kind: 'version' | 'refused' | 'out';
  readonly reason: string;
}

/** Reason codes of CONNACK: MQTT 3.1.1 section 3.2.2.3, MQTT 5 section 3.2.2.2. */
const UNACCEPTABLE_VERSION: readonly number[] = [1, 132];
const REFUSED: Readonly<Record<number, string>> = {
  2: 'the broker refuses our client id (LINESIDE_MQTT_CLIENT_ID)',
  4: 'the broker refuses user name or password (LINESIDE_MQTT_URL, LINESIDE_MQTT_PASSWORD)',
  5: 'the broker says that we are not authorised: user name, password or client certificate',
  133: 'the broker refuses our client id (LINESIDE_MQTT_CLIENT_ID)',
  134: 'the broker refuses user name or password (LINESIDE_MQTT_URL, LINESIDE_MQTT_PASSWORD)',
  135: 'the broker says that we are not authorised: user name, password or client certificate',
  138: 'the broker has banned us',
  140: 'the broker wants another way of signing in',
};

/** Codes by which Node says that certificates are wrong, or that the other end speaks no TLS. */
const TLS_CODES = /^(CERT_|ERR_TLS|ERR_SSL|DEPTH_ZERO|SELF_SIGNED|UNABLE_TO_)/;

/** The broker let us in, and does not let us do what we came for. */
export class RefusedByBroker extends Error {
  override readonly name = 'RefusedByBroker';
}

/** What an error of a connection that did not come about means. */
export function troubleOf(error: unknown): Trouble {
  if (error instanceof RefusedByBroker) return { kind: 'refused', reason: error.message };
  const code = error instanceof Error && 'code' in error ? error.code : null;
  const message = wordsOf(error);
  if (typeof code === 'number') {
    if (UNACCEPTABLE_VERSION.includes(code)) return { kind: 'version', reason: message };
    const words = REFUSED[code];
    return words === undefined
      ? { kind: 'out', reason: message }
      : { kind: 'refused', reason: `${words}: ${message}` };
  }
  if (typeof code === 'string' && TLS_CODES.test(code)) {
    return { kind: 'refused', reason: `TLS with the broker fails: ${message} (${code})` };
  }
  return { kind: 'out', reason: message };
}

/** Errors of several addresses of one host have no message of their own. */
function wordsOf(error: unknown): string {
  if (error instanceof AggregateError) return error.errors.map(wordsOf).join('; ');
  return error instanceof Error ? error.message : String(error);
}
