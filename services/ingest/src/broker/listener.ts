import { createServer, type Server, type Socket } from 'node:net';
import { createServer as createTlsServer, type TlsOptions, Server as TlsServer } from 'node:tls';
import type { IngestSettings } from '../ingest.ts';

/** Time for the TLS handshake, and again for CONNECT; a node on a slow radio link needs 1 to 3 s. */
export const CONNECT_TIMEOUT_MS = 10_000;

/** 25 kB a connection were measured, so this many take 500 MB at the very most. */
export const MOST_CONNECTIONS = 20_000;

export interface Listener {
  readonly port: number;
  /** New certificate and key for connections from now on; nothing where there is no TLS. */
  renewTls(tls: NonNullable<IngestSettings['tls']>): void;
  /** Ends listening; connections that stand are kept. */
  stop(): void;
}

type ListenSettings = Pick<IngestSettings, 'mqttHost' | 'mqttPort' | 'tls'>;

/** Listens for connections, over TLS when the settings hold a certificate. */
export async function listen(
  settings: ListenSettings,
  mostConnections: number,
  onConnection: (socket: Socket) => void,
  onRefused: () => void,
): Promise<Listener> {
  const server = makeServer(settings.tls, onConnection);
  server.maxConnections = mostConnections;
  server.on('drop', onRefused);
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(settings.mqttPort, settings.mqttHost, () => {
      server.removeListener('error', reject);
      resolve();
    });
  });
  const address = server.address();
  const port = typeof address === 'object' && address !== null ? address.port : settings.mqttPort;
  return {
    port,
    renewTls: (tls) => {
      if (server instanceof TlsServer) server.setSecureContext(tlsOptions(tls));
    },
    stop: () => server.close(),
  };
}

function makeServer(tls: IngestSettings['tls'], onConnection: (socket: Socket) => void): Server {
  if (tls === null) {
    return createServer({ noDelay: true, keepAlive: true }, onConnection);
  }
  const server = createTlsServer({ ...tlsOptions(tls), handshakeTimeout: CONNECT_TIMEOUT_MS });
  server.on('secureConnection', (socket) => {
    socket.setNoDelay(true);
    onConnection(socket);
  });
  return server;
}

function tlsOptions(tls: NonNullable<IngestSettings['tls']>): TlsOptions {
  const options: TlsOptions = { cert: tls.certificate, key: tls.key, minVersion: 'TLSv1.2' };
  if (tls.clientCa !== null) {
    options.ca = tls.clientCa;
    options.requestCert = true;
    // Programs without a certificate may still sign in with a token; a wrong one is refused there.
    options.rejectUnauthorized = false;
  }
  return options;
}
