import { createServer, type Server, type Socket } from 'node:net';
import { createServer as createTlsServer, type TlsOptions } from 'node:tls';
import type { IngestSettings } from '../ingest.ts';

/** Time for the TLS handshake, and again for CONNECT; a node on a slow radio link needs 1 to 3 s. */
export const CONNECT_TIMEOUT_MS = 10_000;

/** 25 kB a connection were measured, so this many take 500 MB at the very most. */
export const MOST_CONNECTIONS = 20_000;

export interface Listener {
  readonly port: number;
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
  return { port, stop: () => server.close() };
}

function makeServer(tls: IngestSettings['tls'], onConnection: (socket: Socket) => void): Server {
  if (tls === null) {
    return createServer({ noDelay: true, keepAlive: true }, onConnection);
  }
  const options: TlsOptions = {
    cert: tls.certificate,
    key: tls.key,
    minVersion: 'TLSv1.2',
    handshakeTimeout: CONNECT_TIMEOUT_MS,
  };
  if (tls.clientCa !== null) {
    options.ca = tls.clientCa;
    options.requestCert = true;
    // Programs without a certificate may still sign in with a token; a wrong one is refused there.
    options.rejectUnauthorized = false;
  }
  const server = createTlsServer(options);
  server.on('secureConnection', (socket) => {
    socket.setNoDelay(true);
    onConnection(socket);
  });
  return server;
}
