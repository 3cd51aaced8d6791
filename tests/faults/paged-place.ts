/** What a server needs to page people of invented crews, and nodes to sign in. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { makeNodeCredential } from '@lineside/ingest';
import { openRecordStore } from '@lineside/storage';
import type { Phones } from './phones.ts';

export interface NodeSignIn {
  readonly site: string;
  readonly unit: string;
  readonly username: string;
  readonly password: string;
}

/** Writes sign-ins of nodes into a data folder whose server is not running. */
export async function nodeSignIns(
  data: string,
  units: readonly { readonly site: string; readonly unit: string }[],
): Promise<readonly NodeSignIn[]> {
  mkdirSync(data, { recursive: true });
  const records = await openRecordStore({ file: join(data, 'records.db') });
  try {
    const nodes: NodeSignIn[] = [];
    for (const { site, unit } of units) {
      const { username, password, credential } = makeNodeCredential(site, unit, 0);
      await records.setNodeCredential(credential);
      nodes.push({ site, unit, username, password });
    }
    return nodes;
  } finally {
    await records.close();
  }
}

/**
 * One team of one person, `p-<site>`, for each site; all of them have phones. Gives the settings
 * that name the files.
 */
export function oneCrewPerSite(
  folder: string,
  sites: readonly string[],
  phones: Phones,
): Readonly<Record<string, string>> {
  const people = sites.map(
    (site) => `  - { id: p-${site}, name: Person of ${site}, contacts: [phone-p-${site}] }\n`,
  );
  const teams = sites.map(
    (site) => `  - id: t-${site}
    name: Team of ${site}
    zone: UTC
    sites: [${site}]
    first:
      - { from: 2024-01-01, handOver: { weekday: monday, time: "08:00" }, people: [p-${site}] }
`,
  );
  const office = 'office: { name: Desk, contacts: [phone-desk] }\n';
  const rota = `people:\n${people.join('')}${office}teams:\n${teams.join('')}`;
  const rotaFile = join(folder, 'rota.yaml');
  const contactsFile = join(folder, 'contacts.yaml');
  writeFileSync(rotaFile, rota);
  const owners = [...sites.map((site) => `p-${site}`), 'desk'];
  writeFileSync(contactsFile, phones.contactsFile(owners), { mode: 0o600 });
  return {
    LINESIDE_ROTA: rotaFile,
    LINESIDE_CONTACTS: contactsFile,
    LINESIDE_WEBHOOK_ALLOW: '127.0.0.1/32',
    LINESIDE_LOG_LEVEL: 'warn',
  };
}
