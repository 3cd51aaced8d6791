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
const NOT_AUTHORISED =
  'the broker says that we are not authorised: user name, password or client certificate are ' +
  'wrong (LINESIDE_MQTT_URL, LINESIDE_MQTT_PASSWORD)';
const REFUSED: Readonly<Record<number, string>> = {
  2: 'the broker refuses our client id (LINESIDE_MQTT_CLIENT_ID)',
  4: 'the broker refuses user name or password (LINESIDE_MQTT_URL, LINESIDE_MQTT_PASSWORD)',
  5: NOT_AUTHORISED,
  133: 'the broker refuses our client id (LINESIDE_MQTT_CLIENT_ID)',
  134: 'the broker refuses user name or password (LINESIDE_MQTT_URL, LINESIDE_MQTT_PASSWORD)',
  135: NOT_AUTHORISED,
  138: 'the broker has banned us',
  140: 'the broker wants another way of signing in',
};

/** Codes by which Node says that certificates are wrong, or that the other end speaks no TLS. */
const TLS_CODES = /^(CERT_|ERR_TLS|ERR_SSL|DEPTH_ZERO|SELF_SIGNED|UNABLE_TO_)/;

/** The certificate may be good, and is of an authority that we do not know. */
const UNTRUSTED_CODES = /^(DEPTH_ZERO|SELF_SIGNED|UNABLE_TO_)/;

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
    const advice = UNTRUSTED_CODES.test(code)
      ? '; name the authority that signed its certificate with LINESIDE_MQTT_CA'
      : '';
    return { kind: 'refused', reason: `TLS with the broker fails: ${message} (${code})${advice}` };
  }
  return { kind: 'out', reason: `${firstLine(message)}${adviceOn(code, message)}` };
}

/** What mostly is behind words that only programmers know. */
function adviceOn(code: unknown, message: string): string {
  if (code === 'EPROTO') {
    return ': what answers there speaks no TLS; is it another port, or mqtt:// in LINESIDE_MQTT_URL?';
  }
  if (code === 'ECONNRESET') return ' by the other end; a port that wants mqtts:// does this, too';
  if (code === 'ENOTFOUND') return ': no such host name';
  if (/connack timeout/i.test(message)) {
    return ': what listens there does not answer as a broker; is it busy, or no MQTT port?';
  }
  return '';
}

/** OpenSSL puts a stack of its own into a message. */
function firstLine(message: string): string {
  return message.startsWith('write EPROTO')
    ? 'wrong answer to TLS'
    : (message.split('\n')[0] ?? '');
}

/** Errors of several addresses of one host have no message of their own. */
function wordsOf(error: unknown): string {
  if (error instanceof AggregateError) return error.errors.map(wordsOf).join('; ');
  return error instanceof Error ? error.message : String(error);
}
