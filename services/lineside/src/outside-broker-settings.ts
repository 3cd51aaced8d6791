import { readFileSync } from 'node:fs';
import type { OutsideBrokerSettings, OutsideTls } from '@lineside/ingest';
import { CommandFailure, EXIT } from './failure.ts';
import type { SettingName } from './settings.ts';

const USUAL_PORTS: Readonly<Record<string, number>> = { 'mqtt:': 1883, 'mqtts:': 8883 };

/** What belongs to the address; without it the embedded broker would start in place of another. */
const WITH_ADDRESS = [
  'LINESIDE_MQTT_PASSWORD',
  'LINESIDE_MQTT_CA',
  'LINESIDE_MQTT_CLIENT_CERT',
  'LINESIDE_MQTT_CLIENT_KEY',
] as const;

/** Names the session that the broker keeps for the ingest of one house. */
const USUAL_CLIENT_ID = 'lineside-ingest';

/** MQTT 3.1.1 section 3.1.3.1 has every broker take these; longer ones most do. */
const CLIENT_ID = /^[A-Za-z0-9_-]{1,64}$/;

/**
 * Where the outside broker is and how to sign in there; null when none is set.
 * Throws `CommandFailure` (2) that names the setting that is wrong.
 */
export function readOutsideBroker(
  setting: (name: SettingName) => string | null,
): OutsideBrokerSettings | null {
  const text = setting('LINESIDE_MQTT_URL');
  if (text === null) {
    const alone = WITH_ADDRESS.find((name) => setting(name) !== null);
    if (alone === undefined) return null;
    throw wrong(`${alone} is set without LINESIDE_MQTT_URL; the embedded broker has no use for it`);
  }
  const url = parse(text);
  const isSecure = url.protocol === 'mqtts:';
  const tls = readTls(setting, isSecure);
  const clientId = setting('LINESIDE_MQTT_CLIENT_ID') ?? USUAL_CLIENT_ID;
  if (!CLIENT_ID.test(clientId)) {
    throw wrong(
      `LINESIDE_MQTT_CLIENT_ID: expected 1 to 64 of A-Z, a-z, 0-9, - and _, found '${clientId}'`,
    );
  }
  const username = decoded(url.username);
  const password = setting('LINESIDE_MQTT_PASSWORD') ?? decoded(url.password);
  if (password !== null && username === null) {
    throw wrong(
      'LINESIDE_MQTT_PASSWORD is set, but LINESIDE_MQTT_URL names no user: mqtt://USER@…',
    );
  }
  const port = Number(url.port) || (USUAL_PORTS[url.protocol] ?? 0);
  return {
    url: `${url.protocol}//${url.hostname}:${port}`,
    host: url.hostname.replace(/^\[|\]$/g, ''),
    port,
    username,
    password,
    clientId,
    tls,
  };
}

function parse(text: string): URL {
  const url = URL.canParse(text) ? new URL(text) : null;
  const isBare = url !== null && /^\/?$/.test(url.pathname) && url.search === '' && url.hash === '';
  if (url === null || USUAL_PORTS[url.protocol] === undefined || url.hostname === '' || !isBare) {
    // Not quoted: it may hold a password.
    throw wrong(
      'LINESIDE_MQTT_URL: expected mqtt://host:port or mqtts://host:port, with USER@ or not',
    );
  }
  return url;
}

function readTls(
  setting: (name: SettingName) => string | null,
  isSecure: boolean,
): OutsideTls | null {
  const files = {
    LINESIDE_MQTT_CA: setting('LINESIDE_MQTT_CA'),
    LINESIDE_MQTT_CLIENT_CERT: setting('LINESIDE_MQTT_CLIENT_CERT'),
    LINESIDE_MQTT_CLIENT_KEY: setting('LINESIDE_MQTT_CLIENT_KEY'),
  };
  const {
    LINESIDE_MQTT_CA: ca,
    LINESIDE_MQTT_CLIENT_CERT: cert,
    LINESIDE_MQTT_CLIENT_KEY: key,
  } = files;
  if (!isSecure) {
    const [given] = Object.entries(files).find(([, file]) => file !== null) ?? [];
    if (given === undefined) return null;
    throw wrong(`${given} is set, but LINESIDE_MQTT_URL does not begin with mqtts://`);
  }
  if ((cert === null) !== (key === null)) {
    throw wrong(
      'a client certificate needs LINESIDE_MQTT_CLIENT_CERT and LINESIDE_MQTT_CLIENT_KEY',
    );
  }
  return {
    ca: ca === null ? null : pem('LINESIDE_MQTT_CA', ca),
    certificate: cert === null ? null : pem('LINESIDE_MQTT_CLIENT_CERT', cert),
    key: key === null ? null : pem('LINESIDE_MQTT_CLIENT_KEY', key),
  };
}

function pem(name: SettingName, file: string): string {
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    throw new CommandFailure(EXIT.badInput, `${name}: cannot read ${file}: ${words}`, {
      cause: error,
    });
  }
  if (text.includes('-----BEGIN ')) return text;
  throw wrong(`${name}: ${file} is no PEM file`);
}

function decoded(part: string): string | null {
  if (part === '') return null;
  try {
    return decodeURIComponent(part);
  } catch {
    throw wrong('LINESIDE_MQTT_URL: user name or password holds a % that is no %XX');
  }
}

function wrong(words: string): CommandFailure {
  return new CommandFailure(EXIT.badInput, words);
}
