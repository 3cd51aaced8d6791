import { isIP } from 'node:net';
import { connect } from 'node:tls';
import type { CertificateEnds, CertificateUse } from './certificate-ends.ts';

/** Certificates change by the month; a day has to be enough for those that live for six. */
const LOOK_EVERY_MS: number = 6 * 3_600_000;

const ANSWERS_WITHIN_MS = 10_000;

const USUAL_PORTS: Readonly<Record<string, number>> = { 'https:': 443, 'mqtts:': 8883 };

/**
 * Looks now and then at the certificates that others show for us: the outside broker, and the proxy
 * at the web address. What cannot be reached is left as it was; other figures tell of that.
 */
export function watchFarCertificates(
  urls: ReadonlyMap<CertificateUse, string>,
  ends: CertificateEnds,
): () => void {
  const look = (): void => {
    for (const [use, url] of urls) {
      endOf(new URL(url)).then(
        (endsAtMs) => ends.know(use, endsAtMs),
        () => {},
      );
    }
  };
  look();
  const timer = setInterval(look, LOOK_EVERY_MS).unref();
  return () => clearInterval(timer);
}

/** When the certificate that is shown at an address ends, trusted or not. */
function endOf(url: URL): Promise<number> {
  const host = url.hostname.replace(/^\[|\]$/g, '');
  const port = Number(url.port || USUAL_PORTS[url.protocol]);
  // Server Name Indication takes names only, RFC 6066 section 3.
  const name = isIP(host) === 0 ? { servername: host } : {};
  return new Promise((resolve, reject) => {
    // Only its date is read: nothing is sent, so nothing has to be trusted.
    const socket = connect({ host, port, ...name, rejectUnauthorized: false }, () => {
      const endsAtMs = Date.parse(socket.getPeerCertificate().valid_to);
      socket.destroy();
      if (Number.isNaN(endsAtMs)) reject(new Error(`${host} shows no certificate`));
      else resolve(endsAtMs);
    });
    socket.setTimeout(ANSWERS_WITHIN_MS, () => socket.destroy(new Error('no answer')));
    socket.on('error', reject);
  });
}
