import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { ServerSettings } from '../settings.ts';
import type { DemoPhones } from './demo-phones.ts';

/** Whoever signs in to the demonstration is one of three on call. All of them are invented. */
const ROTA = `people:
  - { id: demo, name: You, contacts: [phone-demo] }
  - { id: ida, name: Ida Marsh, contacts: [phone-ida] }
  - { id: tobi, name: Tobi Lund, contacts: [phone-tobi] }
office: { name: Front desk, contacts: [phone-desk] }
teams:
  - id: harbour
    name: Harbour crew
    zone: America/Halifax
    takesOtherSites: true
    first:
      - { from: 2024-01-01, handOver: { weekday: monday, time: "08:00" }, people: [demo, ida, tobi] }
    second: { offset: 1 }
`;

const OWNERS = ['demo', 'ida', 'tobi', 'desk'];

const ONLY_THE_OWNER = 0o600;

/** The one machine that the demonstration may call; the guard refuses loopback otherwise. */
const LOOPBACK = '127.0.0.1/32';

/**
 * The settings with an invented rota whose phones are in this process; a rota of the visitor's own
 * is left alone. Both files go into the data folder.
 */
export function withDemoOnCall(
  settings: ServerSettings,
  folder: string,
  phones: DemoPhones,
): ServerSettings {
  if (settings.alerting.rotaFile !== null) return settings;
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const write = (name: string, text: string): string => {
    const file = join(folder, name);
    writeFileSync(file, text, { mode: ONLY_THE_OWNER });
    return file;
  };
  const contacts = OWNERS.map((owner) => {
    const address = JSON.stringify({ url: phones.urlOf(owner), secret: phones.secret });
    return `  phone-${owner}: { name: Phone of ${owner}, webhook: ${address} }\n`;
  });
  return {
    ...settings,
    alerting: {
      ...settings.alerting,
      rotaFile: write('demo-rota.yaml', ROTA),
      contactsFile: write('demo-contacts.yaml', `contacts:\n${contacts.join('')}`),
      allowedNetworks: [...settings.alerting.allowedNetworks, LOOPBACK],
    },
  };
}
