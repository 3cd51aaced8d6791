/** A server in a container, and the faults that can be done to it. */
import { GenericContainer, getContainerRuntimeClient, Network, Wait } from 'testcontainers';
import { freePort } from './free-port.ts';

/** A busy machine takes a few seconds. */
const START_WITHIN_MS = 60_000;
const STOP_WITHIN_SECONDS = 20;

export interface ServerSettings {
  readonly image: string;
  readonly port: number;
  /** Files that replace those of the image, by path. */
  readonly files?: Readonly<Record<string, string>>;
  readonly environment?: Readonly<Record<string, string>>;
  /** Waits until the server at `host:port` does its work. */
  answering(address: string): Promise<void>;
}

export interface ServerContainer {
  /** `host:port` on loopback; stays the same over stop and start, refuses while it is out. */
  readonly address: string;
  /**
   * `host:port` in the container's network, of which `cut` takes it away: then packets vanish and
   * connections stay open, as with a broken cable. Reachable from Linux only.
   */
  readonly inNetwork: string;
  /** SIGTERM. */
  stop(): Promise<void>;
  /** SIGKILL. */
  kill(): Promise<void>;
  /** After `stop` or `kill`, with the files it had. */
  start(): Promise<void>;
  /** Freezes the processes; connections stay open and nothing is answered. */
  pause(): Promise<void>;
  resume(): Promise<void>;
  cut(): Promise<void>;
  mend(): Promise<void>;
  /** Ends it in whatever state it is and removes it. */
  dispose(): Promise<void>;
}

export async function startServerContainer(settings: ServerSettings): Promise<ServerContainer> {
  const { image, port, files = {}, environment = {}, answering } = settings;
  const network = await new Network().start();
  const hostPort = await freePort();
  const address = `127.0.0.1:${hostPort}`;
  const started = await new GenericContainer(image)
    .withNetwork(network)
    .withExposedPorts({ container: port, host: hostPort })
    .withEnvironment(environment)
    .withCopyContentToContainer(
      Object.entries(files).map(([target, content]) => ({ target, content })),
    )
    .withWaitStrategy(Wait.forListeningPorts())
    .withStartupTimeout(START_WITHIN_MS)
    .start();
  const { container, network: networks } = await getContainerRuntimeClient();
  const handle = container.getById(started.getId());
  const link = networks.getById(network.getId());
  const ownAddress = started.getIpAddress(network.getName());
  await answering(address);
  return {
    address,
    inNetwork: `${ownAddress}:${port}`,
    stop: async () => {
      await handle.stop({ t: STOP_WITHIN_SECONDS });
    },
    kill: async () => {
      await handle.kill();
      await handle.wait();
    },
    start: async () => {
      await handle.start();
      await answering(address);
    },
    pause: async () => {
      await handle.pause();
    },
    resume: async () => {
      await handle.unpause();
    },
    cut: async () => {
      await link.disconnect({ Container: handle.id, Force: true });
    },
    mend: async () => {
      // Alone in its network, it gets the address that it had.
      await link.connect({ Container: handle.id });
      await answering(`${ownAddress}:${port}`);
    },
    dispose: async () => {
      await handle.remove({ force: true, v: true });
      await network.stop();
    },
  };
}
