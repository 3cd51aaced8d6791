import { createPrivateKey, X509Certificate } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { isIP } from 'node:net';
import { join, posix, resolve } from 'node:path';
import { CommandFailure, EXIT } from '../failure.ts';
import type { BrokerTls, ListenAddress, MosquittoConfOptions } from './mosquitto-conf.ts';

/** As given on the command line. */
export interface BrokerFilesOptions {
  readonly out: string;
  readonly data?: string;
  readonly fleet?: string;
  readonly listen?: string;
  readonly houseListen: string;
  readonly houseTls?: true;
  readonly tlsCert?: string;
  readonly tlsKey?: string;
  readonly clientCa?: string;
  readonly clientListen?: string;
  readonly crl?: string;
  readonly seenAt?: string;
  readonly state: string;
  readonly newPassword?: true;
}

/** Names of the files in the folder. */
export const BROKER_FILES = {
  configuration: 'mosquitto.conf',
  passwords: 'passwords',
  accessRules: 'access-rules',
  ownPassword: 'lineside-password',
} as const;

/**
 * What goes into the configuration.
 *
 * @throws CommandFailure (2) that names the option that is wrong.
 */
export function confOptions(options: BrokerFilesOptions): MosquittoConfOptions {
  const tls = tlsOf(options);
  const listen = options.listen ?? `127.0.0.1:${tls === null ? 1883 : 8883}`;
  const conf: MosquittoConfOptions = {
    listen: address('--listen', listen),
    houseListen: address('--house-listen', options.houseListen),
    houseTls: options.houseTls === true,
    tls,
    passwordFile: seenPath(options, BROKER_FILES.passwords),
    accessRulesFile: seenPath(options, BROKER_FILES.accessRules),
    stateFolder: plainPath('--state', options.state),
  };
  if (conf.houseTls && tls === null) throw wrong('--house-tls needs --tls-cert and --tls-key');
  checkPorts(conf);
  return conf;
}

/** True when only this machine can connect there. */
export function isLoopback({ host }: ListenAddress): boolean {
  return host === 'localhost' || host === '::1' || /^127\./.test(host);
}

function tlsOf(options: BrokerFilesOptions): BrokerTls | null {
  const { tlsCert, tlsKey, clientCa, crl, clientListen } = options;
  if (clientCa === undefined && (crl ?? clientListen) !== undefined) {
    throw wrong('--crl and --client-listen go with --client-ca only');
  }
  if (tlsCert === undefined && tlsKey === undefined) {
    if (clientCa === undefined) return null;
    throw wrong('--client-ca needs --tls-cert and --tls-key: certificates are shown over TLS only');
  }
  if (tlsCert === undefined || tlsKey === undefined) {
    throw wrong('TLS needs both --tls-cert and --tls-key');
  }
  if (options.seenAt === undefined && fits(tlsCert, tlsKey) === false) {
    throw wrong(`--tls-key: ${tlsKey} is not the key of the certificate in ${tlsCert}`);
  }
  const host = (options.listen ?? '127.0.0.1:').replace(/:\d*$/, '');
  return {
    certificate: brokersFile(options, '--tls-cert', tlsCert),
    key: brokersFile(options, '--tls-key', tlsKey),
    clients:
      clientCa === undefined
        ? null
        : {
            listen: address('--client-listen', clientListen ?? `${host}:8884`),
            ca: brokersFile(options, '--client-ca', clientCa),
            revoked: crl === undefined ? null : brokersFile(options, '--crl', crl),
          },
  };
}

/** Null when it cannot be told here: this user may not read the key, or it has a password. */
function fits(certificate: string, key: string): boolean | null {
  try {
    const parsed = createPrivateKey(readFileSync(key));
    return new X509Certificate(readFileSync(certificate)).checkPrivateKey(parsed);
  } catch {
    return null;
  }
}

/** A file that Mosquitto reads, and perhaps only it; seen elsewhere than here, it is not looked for. */
function brokersFile(options: BrokerFilesOptions, name: string, path: string): string {
  if (options.seenAt !== undefined) return plainPath(name, path);
  const absolute = plainPath(name, resolve(path));
  if (existsSync(absolute)) return absolute;
  throw wrong(`${name}: there is no file ${absolute}`);
}

function seenPath(options: BrokerFilesOptions, file: string): string {
  return options.seenAt === undefined
    ? plainPath('--out', join(resolve(options.out), file))
    : posix.join(plainPath('--seen-at', options.seenAt), file);
}

/** A line of the configuration ends at a line break, and a path begins at the root. */
function plainPath(name: string, path: string): string {
  if (path.startsWith('/') && !/[\r\n\0]/.test(path)) return path;
  throw wrong(`${name}: expected an absolute path, found '${path}'`);
}

function address(name: string, text: string): ListenAddress {
  const [, bracketed, plain, port] = /^(?:\[([^\]]+)\]|([^:[\]]+)):(\d{1,5})$/.exec(text) ?? [];
  const host = bracketed ?? plain ?? '';
  const isHost = bracketed === undefined ? /^[A-Za-z0-9.-]+$/.test(host) : isIP(host) === 6;
  if (isHost && Number(port) >= 1 && Number(port) <= 65_535) return { host, port: Number(port) };
  throw wrong(`${name}: expected host:port or [IPv6 address]:port, found '${text}'`);
}

function checkPorts({ listen, houseListen, tls }: MosquittoConfOptions): void {
  const listeners = [listen, houseListen, ...(tls?.clients ? [tls.clients.listen] : [])];
  const ports = listeners.map(({ port }) => port);
  if (new Set(ports).size === ports.length) return;
  throw wrong(
    `--listen, --house-listen and --client-listen need a port each, found ${ports.join(', ')}`,
  );
}

function wrong(message: string): CommandFailure {
  return new CommandFailure(EXIT.badInput, message);
}
