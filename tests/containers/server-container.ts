/** A server in a container, and the faults that can be done to it. */
import { randomUUID } from 'node:crypto';
import { GenericContainer, getContainerRuntimeClient, Wait } from 'testcontainers';
import { freePort } from '../contracts/free-port.ts';

/** A busy machine takes a few seconds. */
const START_WITHIN_MS = 60_000;
const STOP_WITHIN_SECONDS = 20;
const MOST_TRIES_TO_FREEZE = 20;
/** `engine.sh` removes what has it. */
const SWEPT: Readonly<Record<string, string>> = { 'org.testcontainers': 'true' };

export interface ServerSettings {
  readonly image: string;
  /** The ports it listens at; the first is the one that `answering` is asked about. */
  readonly ports: readonly number[];
  /** Files that replace those of the image, by path. */
  readonly files?: Readonly<Record<string, string>>;
  readonly environment?: Readonly<Record<string, string>>;
  /** Waits until the server at `host:port` does its work. */
  answering(address: string): Promise<void>;
}

export interface ServerContainer {
  /**
   * `host:port` on loopback for a port of the server, else for its first; stays the same over stop
   * and start, refuses while it is out.
   */
  address(port?: number): string;
  /**
   * `host:port` in the container's network, of which `cut` takes it away: then packets vanish and
   * connections stay open, as with a broken cable. Reachable from Linux only.
   */
  inNetwork(port?: number): string;
  /** Memory that the server uses now is found under this number in /proc, on the same machine. */
  pid(): Promise<number>;
  /** What it has written, all starts together. */
  log(): Promise<string>;
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
  const { answering, ports } = settings;
  const { container, network: networks } = await getContainerRuntimeClient();
  const link = await networks.create({
    Name: `lineside-test-${randomUUID()}`,
    Labels: SWEPT,
    // A network of its own does not take over the engine's rule that ports are of loopback.
    Options: { 'com.docker.network.bridge.host_binding_ipv4': '127.0.0.1' },
  });
  const { Name: name } = await link.inspect();
  const published = new Map<number, number>();
  for (const port of ports) published.set(port, await freePort());
  const started = await containerOf(settings, published).withNetworkMode(name).start();
  const handle = container.getById(started.getId());
  const ownAddress = started.getIpAddress(name);
  const address = (port = ports[0] ?? 0): string => `127.0.0.1:${published.get(port)}`;
  const inNetwork = (port = ports[0] ?? 0): string => `${ownAddress}:${port}`;
  await answering(address());
  return {
    address,
    inNetwork,
    pid: async () => (await handle.inspect()).State.Pid,
    log: async () => (await handle.logs({ stdout: true, stderr: true })).toString('utf8'),
    stop: async () => {
      await handle.stop({ t: STOP_WITHIN_SECONDS });
    },
    kill: async () => {
      await handle.kill();
      await handle.wait();
    },
    start: async () => {
      await handle.start();
      await answering(address());
    },
    pause: () => untilFrozen(() => handle.pause()),
    resume: async () => {
      await handle.unpause();
    },
    cut: async () => {
      await link.disconnect({ Container: handle.id, Force: true });
    },
    mend: async () => {
      // Alone in its network, it gets the address that it had.
      await link.connect({ Container: handle.id });
      await answering(inNetwork());
    },
    dispose: async () => {
      await handle.remove({ force: true, v: true });
      await link.remove();
    },
  };
}

/** The kernel cannot always freeze processes at the first try while the machine is busy. */
async function untilFrozen(pause: () => Promise<unknown>): Promise<void> {
  for (let tries = 1; ; tries++) {
    try {
      await pause();
      return;
    } catch (error) {
      const isPassing = error instanceof Error && error.message.includes('unable to freeze');
      if (!isPassing || tries === MOST_TRIES_TO_FREEZE) throw error;
    }
  }
}

function containerOf(
  { image, files = {}, environment = {} }: ServerSettings,
  published: ReadonlyMap<number, number>,
): GenericContainer {
  const contents = Object.entries(files).map(([target, content]) => ({ target, content }));
  return new GenericContainer(image)
    .withExposedPorts(...[...published].map(([inside, host]) => ({ container: inside, host })))
    .withEnvironment(environment)
    .withCopyContentToContainer(contents)
    .withWaitStrategy(Wait.forListeningPorts())
    .withStartupTimeout(START_WITHIN_MS);
}
