import { createHash, createPrivateKey, X509Certificate } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createSecureContext } from 'node:tls';
import type { IngestSettings, Trouble } from '@lineside/ingest';
import type { Logger } from 'pino';
import { CommandFailure, EXIT } from '../failure.ts';
import type { ServerSettings } from '../settings.ts';
import type { CertificateEnds } from './certificate-ends.ts';

type TlsFiles = NonNullable<ServerSettings['tlsFiles']>;
type Tls = NonNullable<IngestSettings['tls']>;

/** How often files are looked at; SIGHUP has them looked at now. */
const LOOK_EVERY_MS = 30_000;

/**
 * Reads certificate, key and authority, and sees whether they fit together.
 * @throws CommandFailure (2) naming the file.
 */
function readTlsFiles(files: TlsFiles): Tls {
  const tls = {
    certificate: readPem(files.certificate),
    key: readPem(files.key),
    clientCa: files.clientCa === null ? null : readPem(files.clientCa),
  };
  try {
    const certificate = new X509Certificate(tls.certificate);
    if (!certificate.checkPrivateKey(createPrivateKey(tls.key))) {
      throw new Error(`the key in ${files.key} is not that of the certificate`);
    }
    createSecureContext({ cert: tls.certificate, key: tls.key });
  } catch (error) {
    throw unusable(files.certificate, error);
  }
  return tls;
}

function readPem(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    throw unusable(file, error);
  }
}

function unusable(file: string, error: unknown): CommandFailure {
  const words = error instanceof Error ? error.message : String(error);
  return new CommandFailure(EXIT.badInput, `cannot use ${file}: ${words}`, { cause: error });
}

export interface CertificateWatchParts {
  readonly files: TlsFiles;
  readonly ends: CertificateEnds;
  readonly log: Logger;
}

/** Looks after the broker's certificate: when it ends, and whether there is a new one. */
export class CertificateWatch {
  readonly tls: Tls;
  readonly #parts: CertificateWatchParts;
  #endsAtMs: number;
  #loaded: string;
  #failure: string | null = null;
  #renew: (tls: Tls) => void = () => {};
  #timer: NodeJS.Timeout | null = null;
  readonly #onHangUp = (): void => this.look();

  /** @throws CommandFailure (2) for files that cannot be used. */
  constructor(parts: CertificateWatchParts) {
    this.#parts = parts;
    this.tls = readTlsFiles(parts.files);
    this.#endsAtMs = endOf(this.tls);
    this.#loaded = fingerprintOf(this.tls);
    parts.ends.know('mqtt', this.#endsAtMs);
  }

  /** @param renew is given files that have changed, for connections from then on. */
  start(renew: (tls: Tls) => void): void {
    this.#renew = renew;
    this.#timer = setInterval(() => this.look(), LOOK_EVERY_MS).unref();
    process.on('SIGHUP', this.#onHangUp);
  }

  stop(): void {
    if (this.#timer !== null) clearInterval(this.#timer);
    process.removeListener('SIGHUP', this.#onHangUp);
  }

  /** Takes files that have changed; those that do not fit together are told and not taken. */
  look(): void {
    const { files, log, ends } = this.#parts;
    try {
      const tls = readTlsFiles(files);
      const loaded = fingerprintOf(tls);
      this.#failure = null;
      if (loaded !== this.#loaded) {
        this.#renew(tls);
        this.#loaded = loaded;
        this.#endsAtMs = endOf(tls);
        const until = new Date(this.#endsAtMs).toISOString();
        log.info(
          { file: files.certificate, ends: until },
          'the new certificate is used from now on',
        );
      }
    } catch (error) {
      const words = error instanceof Error ? error.message : String(error);
      const failure = `${words}; the certificate before is used on`;
      if (failure !== this.#failure) log.error({ file: files.certificate }, failure);
      this.#failure = failure;
    }
    ends.know('mqtt', this.#endsAtMs);
  }

  troubles(): readonly Trouble[] {
    const reasons = [this.#failure, this.#parts.ends.words('mqtt')].filter(
      (words) => words !== null,
    );
    return reasons.map((reason) => ({ part: 'broker', reason }));
  }
}

/** The earliest end in the chain: the certificate, and what vouches for it. */
function endOf({ certificate }: Tls): number {
  const blocks = certificate.match(/-----BEGIN CERTIFICATE-----[^-]+-----END CERTIFICATE-----/g);
  const ends = (blocks ?? []).map((pem) => Date.parse(new X509Certificate(pem).validTo));
  return Math.min(...ends);
}

function fingerprintOf(tls: Tls): string {
  return createHash('sha256').update(JSON.stringify(tls)).digest('hex');
}
