import { join, resolve } from 'node:path';
import type { Admitted } from './admitted.ts';
import { BROKER_FILES, type BrokerFilesOptions, isLoopback } from './broker-options.ts';
import type { ListenAddress, MosquittoConfOptions } from './mosquitto-conf.ts';
import type { FileOutcome } from './put-file.ts';

/** What became of each file. */
export type Outcomes = Readonly<Record<keyof typeof BROKER_FILES, FileOutcome>>;

/** Longer lists say how many more there are. */
const MOST_NAMES = 20;

/** What is to be done now, one sentence a line. */
export function nextSteps(
  outcomes: Outcomes,
  options: BrokerFilesOptions,
  conf: MosquittoConfOptions,
): readonly string[] {
  const file = (name: keyof typeof BROKER_FILES): string =>
    join(resolve(options.out), BROKER_FILES[name]);
  const steps: string[] = [];
  const start = [
    'Start Lineside with:',
    `  LINESIDE_MQTT_URL=${houseUrl(conf)}`,
    `  LINESIDE_MQTT_PASSWORD_FILE=${file('ownPassword')}`,
    ...(conf.houseTls ? ['  LINESIDE_MQTT_CA=the authority that signed the certificate, PEM'] : []),
  ];
  if (outcomes.configuration === 'new') {
    steps.push(`Start Mosquitto with it: mosquitto -c ${file('configuration')}`, ...start);
  } else if (outcomes.configuration === 'changed') {
    const restart = 'Restart Mosquitto: listeners and limits are not read anew at SIGHUP.';
    steps.push(restart, ...start);
  } else if (outcomes.passwords !== 'unchanged' || outcomes.accessRules !== 'unchanged') {
    steps.push(
      'Have Mosquitto read them: send it SIGHUP (systemctl reload mosquitto). It then ends ' +
        'connections whose password holds no more.',
    );
  } else {
    steps.push('Nothing has changed, nothing is to be done.');
  }
  if (outcomes.ownPassword === 'changed') {
    steps.push('Restart Lineside: it has a new password.');
  }
  return steps;
}

/** Where Lineside's own processes connect, with their user name. */
function houseUrl({ houseListen, houseTls }: MosquittoConfOptions): string {
  const { host, port } = houseListen;
  const shown = host.includes(':') ? `[${host}]` : host;
  return `${houseTls ? 'mqtts' : 'mqtt'}://lineside@${shown}:${port}`;
}

/** What somebody should know of who was left out, one note a line. */
export function notesOn(admitted: Admitted, data: string): readonly string[] {
  const { withoutHash, notInFleet, withoutSignIn } = admitted;
  const notes: string[] = [];
  if (withoutHash.length > 0) {
    notes.push(
      `${count(withoutHash, 'node has a password', 'nodes have passwords')} from before Mosquitto ` +
        'could be told of them, and cannot sign in there. Give new ones:',
      ...bySite(withoutHash).map((units) => `  lineside node create ${units} --data ${data}`),
    );
  }
  if (notInFleet.length > 0) notes.push(`left out, not in the fleet: ${named(notInFleet)}`);
  if (withoutSignIn.length > 0) notes.push(`no sign-in: ${named(withoutSignIn)}`);
  return notes;
}

/** What is dangerous about where it listens. */
export function listenWarnings({
  listen,
  houseListen,
  tls,
  houseTls,
}: MosquittoConfOptions): readonly string[] {
  const clear = (name: string, address: ListenAddress, safe: boolean): readonly string[] =>
    safe || isLoopback(address)
      ? []
      : [`${name}: passwords and readings pass in the clear; use TLS or a network of your own`];
  return [
    ...clear('--listen', listen, tls !== null),
    ...clear('--house-listen', houseListen, houseTls),
  ];
}

function count(names: readonly string[], one: string, many: string): string {
  return `${names.length} ${names.length === 1 ? one : many}`;
}

function named(names: readonly string[]): string {
  const more = names.length - MOST_NAMES;
  const shown = names.slice(0, MOST_NAMES).join(', ');
  return more > 0 ? `${shown} and ${more} more` : shown;
}

/** `<site> <unit> <unit>…` of each site. */
function bySite(usernames: readonly string[]): readonly string[] {
  const sites = new Map<string, string>();
  for (const username of usernames) {
    const [site = '', unit = ''] = username.split('/');
    sites.set(site, `${sites.get(site) ?? site} ${unit}`);
  }
  return [...sites.values()];
}
