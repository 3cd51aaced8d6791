import type { Logger } from 'pino';
import { Gauge, type Registry } from 'prom-client';

/** Two weeks are enough for whoever has to ask somebody else for a new one. */
const WARN_BEFORE_MS: number = 14 * 86_400_000;

/** How often it is said again. */
const SAY_EVERY_MS = 86_400_000;

export type CertificateUse = 'mqtt' | 'outside-broker' | 'web';

const WHOSE: Readonly<Record<CertificateUse, string>> = {
  mqtt: "the broker's certificate",
  'outside-broker': 'the certificate of the outside broker',
  web: 'the certificate of the web address',
};

const WHAT_TO_DO: Readonly<Record<CertificateUse, string>> = {
  mqtt: 'put a new one into the same files, it is taken without a restart',
  'outside-broker': 'give that broker a new one, or nodes and Lineside turn away from it',
  web: 'see why the proxy in front of Lineside does not get a new one',
};

interface Known {
  endsAtMs: number;
  saidAtMs: number;
}

/** When the certificates end that this installation lives by: metric, log and words. */
export class CertificateEnds {
  readonly #log: Logger;
  readonly #clock: () => number;
  readonly #ends = new Map<CertificateUse, Known>();

  constructor(metrics: Registry, log: Logger, clock: () => number) {
    this.#log = log;
    this.#clock = clock;
    const ends = this.#ends;
    new Gauge({
      name: 'lineside_certificate_expires_seconds',
      help:
        'Time until a certificate expires: of the embedded broker (mqtt), of the outside broker, ' +
        'of the web address (web). Worry below 14 days (1209600).',
      labelNames: ['use'],
      registers: [metrics],
      collect() {
        for (const [use, { endsAtMs }] of ends) this.set({ use }, (endsAtMs - clock()) / 1000);
      },
    });
  }

  /** Learns when the certificate ends; to be told now and then, since it warns only then. */
  know(use: CertificateUse, endsAtMs: number): void {
    const before = this.#ends.get(use);
    const saidAtMs = before?.endsAtMs === endsAtMs ? before.saidAtMs : -Infinity;
    const known = { endsAtMs, saidAtMs };
    this.#ends.set(use, known);
    const words = this.words(use);
    if (words === null || this.#clock() - saidAtMs < SAY_EVERY_MS) return;
    known.saidAtMs = this.#clock();
    this.#log.warn({ use, ends: new Date(endsAtMs).toISOString() }, words);
  }

  /** Null while it has two weeks to go, or is not known. */
  words(use: CertificateUse): string | null {
    const known = this.#ends.get(use);
    if (known === undefined) return null;
    const leftMs = known.endsAtMs - this.#clock();
    if (leftMs > WARN_BEFORE_MS) return null;
    if (leftMs <= 0)
      return `${WHOSE[use]} has expired, who connects turns away: ${WHAT_TO_DO[use]}`;
    return `${WHOSE[use]} expires in ${Math.ceil(leftMs / 86_400_000)} days: ${WHAT_TO_DO[use]}`;
  }
}
