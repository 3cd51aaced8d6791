import { chmod, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseRota, withChange } from '@lineside/oncall';
import { openRecordStore, type RecordStore } from '@lineside/storage';
import { pino } from 'pino';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { CommandFailure } from '../src/failure.ts';
import { applyOnCallFiles } from '../src/serve/on-call-files.ts';
import { readSettings } from '../src/settings.ts';

const ROTA = `people:
  - { id: ana, name: Ana Reyes, contacts: [ana-phone] }
  - { id: ben, name: Ben Okafor, contacts: [ben-mail] }
office: { name: Front desk, contacts: [desk] }
teams:
  - id: north
    name: North crew
    zone: UTC
    takesOtherSites: true
    first:
      - { from: 2026-01-05, handOver: { weekday: monday, time: "08:00" }, people: [ana, ben] }
`;

const SECRET = `whsec_${Buffer.alloc(24, 7).toString('base64')}`;

const CONTACTS = `contacts:
  ana-phone: { name: Phone of Ana, webhook: { url: "https://gateway.example/sms", secret: "${SECRET}" } }
  ben-mail: { e-mail: ben@example.net }
  desk: { e-mail: desk@example.net }
`;

let root: string;
let records: RecordStore;
let warnings: string[];

beforeEach(async () => {
  root = await mkdtemp(join(tmpdir(), 'on-call-'));
  records = await openRecordStore({ file: join(root, 'records.db') });
  warnings = [];
});

afterEach(async () => {
  await records.close();
  await rm(root, { recursive: true, force: true });
});

async function apply(files: { readonly rota?: string; readonly contacts?: string }): Promise<void> {
  const write = async (name: string, text: string | undefined): Promise<string | null> => {
    if (text === undefined) return null;
    await writeFile(join(root, name), text, { mode: 0o600 });
    return join(root, name);
  };
  const rotaFile = await write('rota.yaml', files.rota);
  const contactsFile = await write('contacts.yaml', files.contacts);
  const log = pino({
    level: 'warn',
    hooks: { logMethod: (args) => void warnings.push(args.map(String).join(' ')) },
  });
  const fleet = { sites: [], units: [] };
  const { alerting } = readSettings({});
  const settings = { ...alerting, rotaFile, contactsFile };
  await applyOnCallFiles({ records, dataFolder: root, fleet, clock: () => 1, log, settings });
}

/** `ana-phone webhook ana`. */
async function reached(): Promise<string[]> {
  const points = await records.contactPoints();
  return points.map(({ id, channel, person }) => `${id} ${channel} ${person ?? 'office'}`);
}

async function failure(files: Parameters<typeof apply>[0]): Promise<string> {
  const found = await apply(files).catch((error: unknown) => error);
  expect(found).toBeInstanceOf(CommandFailure);
  return found instanceof CommandFailure ? `${found.status} ${found.message}` : '';
}

async function cover(): Promise<void> {
  const stored = await records.loadRota();
  if (stored === null) throw new Error('a rota was applied');
  const change = { id: 'c9', kind: 'cover', for: 'ana', by: 'ben' } as const;
  const times = { from: '2026-02-04T18:00', to: '2026-02-05T06:00' };
  const rota = parseRota(stored.document, 'the stored rota');
  await records.saveRota(withChange(rota, 'north', { ...change, ...times }), stored.generation);
}

async function changes(): Promise<readonly string[]> {
  const stored = await records.loadRota();
  const rota = parseRota(stored?.document, 'the stored rota');
  return rota.teams.flatMap((team) => team.changes.map(({ id }) => id));
}

describe('a rota file and a contacts file', () => {
  it('say who is reached how', async () => {
    await apply({ rota: ROTA, contacts: CONTACTS });
    expect(await reached()).toEqual([
      'ana-phone webhook ana',
      'ben-mail e-mail ben',
      'desk e-mail office',
    ]);
    expect((await records.contactPoints())[0]?.name).toBe('Phone of Ana');
    expect(warnings).toEqual([]);
  });

  it('are applied to the rota that somebody changes at the same moment', async () => {
    await apply({ rota: ROTA });
    const before = records;
    let isFirst = true;
    records = {
      ...before,
      saveRota: async (...given) => {
        if (isFirst) {
          isFirst = false;
          await cover();
        }
        return before.saveRota(...given);
      },
    };
    await apply({ rota: `${ROTA}\n# another file` });
    records = before;
    expect(isFirst).toBe(false);
    expect(await changes()).toEqual(['c9']);
  });

  it('leave the stored rota alone when they are the same as at the last start', async () => {
    await apply({ rota: ROTA });
    await cover();
    const before = (await records.loadRota())?.generation;
    await apply({ rota: ROTA });
    expect((await records.loadRota())?.generation).toBe(before);
    expect(await changes()).toEqual(['c9']);
  });

  it('keep what people arranged when the file has changed', async () => {
    await apply({ rota: ROTA });
    await cover();
    await apply({ rota: ROTA.replace('North crew', 'Northern crew') });
    expect(await changes()).toEqual(['c9']);
    const stored = await records.loadRota();
    expect(parseRota(stored?.document, 'it').teams[0]?.name).toBe('Northern crew');
  });

  it('replace what an earlier file stated, and leave devices alone', async () => {
    await apply({ rota: ROTA, contacts: CONTACTS });
    const device = { id: 'd1', person: 'ana', channel: 'e-mail', name: 'pad' } as const;
    const rest = { address: { to: 'ana@example.net' }, createdAtMs: 1, origin: 'device' } as const;
    await records.setContactPoint({ ...device, ...rest });
    await apply({ rota: ROTA, contacts: CONTACTS.replace(/ {2}ben-mail.*\n/, '') });
    expect(await reached()).toEqual([
      'ana-phone webhook ana',
      'd1 e-mail ana',
      'desk e-mail office',
    ]);
  });

  it('hold from an earlier start when none are named', async () => {
    await apply({ rota: ROTA, contacts: CONTACTS });
    await apply({});
    expect((await reached()).length).toBe(3);
  });
});

describe('a file that is wrong', () => {
  it('is refused with file, line and what to do', async () => {
    const wrong = ROTA.replace('zone: UTC', 'zone: Harbour');
    expect(await failure({ rota: wrong })).toMatch(
      /^2 .*rota\.yaml:8:\d+: teams\[0\]\.zone: expected an IANA time zone/,
    );
    expect(await failure({ contacts: 'contacts: { a: { fax: 1 } }' })).toMatch(
      /^2 .*contacts\.yaml:1:\d+: contacts\.a\.fax: expected only the keys/,
    );
  });

  it('is refused without a word of the secret that is in it', async () => {
    const words = await failure({
      rota: ROTA,
      contacts: CONTACTS.replace(SECRET, 'hunter2-secret'),
    });
    expect(words).toMatch(/contacts\.yaml:2:\d+: contacts\.ana-phone\.webhook: /);
    expect(words).not.toContain('hunter2');
  });

  it.each([
    [
      'e-mail: eve',
      /contacts\.yaml:2:\d+: contacts\.ana-phone\.e-mail: the e-mail address is wrong: /,
    ],
    ['webhook: { url: "https://a.example/" }', /is wrong at secret: expected whsec_ and base64$/],
    ['webhook: https://a.example/', /is wrong at address: expected url and secret$/],
  ])('says in words of its own what is wrong with %s', async (written, words) => {
    expect(await failure({ contacts: `contacts:\n  ana-phone: { ${written} }\n` })).toMatch(words);
  });

  it('warns of a gateway inside that is never called', async () => {
    const contacts = CONTACTS.replace(/url: "[^"]*"/, 'url: "http://10.1.2.3/sms"');
    await apply({ rota: ROTA, contacts });
    expect(warnings.join()).toMatch(/pages never reach this address; LINESIDE_WEBHOOK_ALLOW/);
  });

  it('warns of a contact point that an earlier file had', async () => {
    await apply({ rota: ROTA, contacts: CONTACTS });
    expect(warnings).toEqual([]);
    await apply({ rota: ROTA, contacts: CONTACTS.replace(/ {2}ben-mail.*\n/, '') });
    expect(warnings.join()).toContain('the rota names it, no file does');
  });

  it('is refused when two people have one contact point', async () => {
    const rota = ROTA.replace('contacts: [ben-mail]', 'contacts: [ana-phone]');
    expect(await failure({ rota, contacts: CONTACTS })).toMatch(/to ana and to ben; give each/);
  });

  it('warns when everybody on the machine can read the addresses', async () => {
    await apply({ rota: ROTA, contacts: CONTACTS });
    await chmod(join(root, 'contacts.yaml'), 0o644);
    warnings = [];
    await apply({ rota: ROTA, contacts: CONTACTS });
    expect(warnings.join()).toContain('chmod 600');
  });

  it('warns of a contact point that nobody has', async () => {
    await apply({ rota: ROTA, contacts: `${CONTACTS}  eve-mail: { e-mail: eve@example.net }\n` });
    expect(warnings.join()).toContain('nobody in the rota has this contact point');
    expect((await reached()).length).toBe(3);
  });
});
