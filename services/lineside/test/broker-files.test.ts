import { execFileSync } from 'node:child_process';
import { chmodSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { applyFleet, type Fleet, parseFleetFile, toFleet } from '@lineside/fleet';
import type { BrokerUser, NodeCredential } from '@lineside/storage';
import { afterAll, afterEach, beforeEach, describe, expect, it } from 'vitest';
import { accessRules } from '../src/broker-files/access-rules.ts';
import { admitted } from '../src/broker-files/admitted.ts';
import { listenWarnings, nextSteps, notesOn } from '../src/broker-files/advice.ts';
import { type BrokerFilesOptions, confOptions } from '../src/broker-files/broker-options.ts';
import { mosquittoConf } from '../src/broker-files/mosquitto-conf.ts';
import { ownUser } from '../src/broker-files/own-user.ts';
import { passwordFile } from '../src/broker-files/password-file.ts';
import { putFile } from '../src/broker-files/put-file.ts';
import { CommandFailure, EXIT } from '../src/failure.ts';

const UNIT = 'supply: { volts: 480 } }';
const FLEET_TEXT = `
sites:
  - id: harbour-mall
    units: [ { id: rtu-01, ${UNIT}, { id: rtu-02, ${UNIT}, { id: rtu-03, ${UNIT} ]
  - id: hilltop
    units: [ { id: rtu-11, ${UNIT} ]
`;

function fleetOf(...texts: readonly string[]): Fleet {
  const [first, ...later] = texts.map((text) => parseFleetFile(text, 'fleet.yaml'));
  if (first === undefined) throw new Error('no fleet');
  return toFleet(later.reduce((stored, file) => applyFleet(stored, file), applyFleet(null, first)));
}

function credential(site: string, unit: string, hash: string | null = `$7$${unit}`) {
  const username = `${site}/${unit}`;
  const made: NodeCredential = {
    site,
    unit,
    username,
    secretHash: 'hash',
    mosquittoHash: hash,
    createdAtMs: 0,
  };
  return made;
}

function reader(name: string, sites: readonly string[] | null): BrokerUser {
  return { name, sites, mosquittoHash: `$7$${name}`, secret: null, createdAtMs: 0 };
}

const OWN: BrokerUser = { ...reader('lineside', null), secret: 'secret' };
const OPTIONS: BrokerFilesOptions = {
  out: '/etc/mosquitto/lineside',
  houseListen: '127.0.0.1:1884',
  state: '/var/lib/mosquitto',
};

describe('who an outside broker lets in', () => {
  const parts = {
    fleet: fleetOf(FLEET_TEXT),
    credentials: [credential('harbour-mall', 'rtu-01'), credential('hilltop', 'weather')],
    revoked: [],
    users: [reader('board', null), OWN],
    certificates: false,
  };

  it('is who has a password and is in the fleet, outdoor stations included', () => {
    const { nodes, readers, withoutSignIn } = admitted(parts);
    expect(nodes).toEqual([
      { username: 'harbour-mall/rtu-01', mosquittoHash: '$7$rtu-01' },
      { username: 'hilltop/weather', mosquittoHash: '$7$weather' },
    ]);
    expect(readers.map(({ name }) => name)).toEqual(['board']);
    expect(withoutSignIn).toEqual([
      'harbour-mall/rtu-02',
      'harbour-mall/rtu-03',
      'harbour-mall/weather',
      'hilltop/rtu-11',
    ]);
  });

  it('is everybody in the fleet who is not revoked, where certificates count', () => {
    const revoked = [{ site: 'harbour-mall', unit: 'rtu-02' }];
    const { nodes, withoutSignIn } = admitted({ ...parts, certificates: true, revoked });
    expect(nodes.map(({ username, mosquittoHash }) => [username, mosquittoHash])).toEqual([
      ['harbour-mall/rtu-01', '$7$rtu-01'],
      ['harbour-mall/rtu-03', null],
      ['harbour-mall/weather', null],
      ['hilltop/rtu-11', null],
      ['hilltop/weather', '$7$weather'],
    ]);
    expect(withoutSignIn).toEqual(['harbour-mall/rtu-02']);
  });

  it.each([false, true])('is nobody who left the fleet, certificates: %s', (certificates) => {
    const fleet = fleetOf(FLEET_TEXT, FLEET_TEXT.replace(`{ id: rtu-01, ${UNIT}, `, ''));
    const strange = credential('harbour-mall', 'rtu-99');
    const credentials = [...parts.credentials, strange];
    const { nodes, notInFleet } = admitted({ ...parts, fleet, credentials, certificates });
    const names = nodes.map(({ username }) => username);
    expect(names).toContain('hilltop/weather');
    expect(names).not.toContain('harbour-mall/rtu-01');
    expect(names).not.toContain('harbour-mall/rtu-99');
    expect(notInFleet).toEqual(['harbour-mall/rtu-01', 'harbour-mall/rtu-99']);
  });

  it('is not who has a password that Mosquitto cannot be told of; the note says what to do', () => {
    const old = ['rtu-01', 'rtu-02'].map((unit) => credential('harbour-mall', unit, null));
    const guests = admitted({ ...parts, credentials: [...old, credential('hilltop', 'rtu-11')] });
    expect(guests.nodes.map(({ username }) => username)).toEqual(['hilltop/rtu-11']);
    expect(guests.withoutHash).toEqual(['harbour-mall/rtu-01', 'harbour-mall/rtu-02']);
    const notes = notesOn(guests, './data').join('\n');
    expect(notes).toContain('2 nodes have passwords');
    expect(notes).toContain('lineside node create harbour-mall rtu-01 rtu-02 --data ./data');
    expect(notes).not.toContain('no sign-in: harbour-mall/rtu-01');
  });
});

describe('password file and access rules', () => {
  const guests = {
    nodes: [
      { username: 'hilltop/rtu-11', mosquittoHash: '$7$eleven' },
      { username: 'hilltop/rtu-12', mosquittoHash: null },
    ],
    readers: [reader('board', ['hilltop', 'harbour-mall']), reader('wall', null), reader('no', [])],
  };

  it('have a line for each password, and none for who comes by certificate', () => {
    expect(passwordFile(guests, OWN).split('\n')).toEqual([
      'lineside:$7$lineside',
      'board:$7$board',
      'wall:$7$wall',
      'no:$7$no',
      'hilltop/rtu-11:$7$eleven',
      '',
    ]);
  });

  it('allow each user its own, and nothing by pattern', () => {
    const rules = accessRules(guests)
      .split('\n')
      .filter((line) => line !== '' && !line.startsWith('#'));
    expect(rules).toEqual([
      'user lineside',
      'topic readwrite lineside/#',
      'topic readwrite lineside-house/#',
      'user board',
      'topic read lineside/hilltop/+/alarm/+',
      'topic read lineside/harbour-mall/+/alarm/+',
      'user wall',
      'topic read lineside/+/+/alarm/+',
      'user no',
      'user hilltop/rtu-11',
      'topic write lineside/hilltop/rtu-11/telemetry',
      'topic write lineside/hilltop/rtu-11/presence',
      'user hilltop/rtu-12',
      'topic write lineside/hilltop/rtu-12/telemetry',
      'topic write lineside/hilltop/rtu-12/presence',
    ]);
  });
});

describe('the configuration', () => {
  const folder = mkdtempSync(join(tmpdir(), 'broker-options-'));
  const file = join(folder, 'some.pem');
  putFile(file, 'x', 0o600);
  afterAll(() => rmSync(folder, { recursive: true }));
  const tls = { tlsCert: file, tlsKey: file };

  it('is refused with the key of another certificate, which Mosquitto would not start with', () => {
    const pair = (name: string): readonly [string, string] => {
      const [cert, key] = [join(folder, `${name}.pem`), join(folder, `${name}.key`)];
      const ec = ['-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes'];
      const made = ['req', '-x509', ...ec, '-subj', '/CN=b', '-keyout', key, '-out', cert];
      execFileSync('openssl', made, { stdio: 'ignore' });
      return [cert, key];
    };
    const [[tlsCert, tlsKey], [, other]] = [pair('one'), pair('two')];
    expect(confOptions({ ...OPTIONS, tlsCert, tlsKey }).tls).toMatchObject({ key: tlsKey });
    expect(() => confOptions({ ...OPTIONS, tlsCert, tlsKey: other })).toThrow(
      `--tls-key: ${other} is not the key of the certificate in ${tlsCert}`,
    );
  });

  it('has no connection limit above its first listener, which would open port 1883', () => {
    const text = mosquittoConf(confOptions({ ...OPTIONS, ...tls, clientCa: file }));
    const words = text.split('\n').map((line) => line.split(' ')[0]);
    expect(words.indexOf('max_connections')).toBeGreaterThan(words.indexOf('listener'));
    expect(words.filter((word) => word === 'listener')).toHaveLength(3);
    expect(words.filter((word) => word === 'max_connections')).toHaveLength(3);
  });

  it('listens in the clear, over TLS and for certificates as the options say', () => {
    expect(confOptions(OPTIONS).listen).toEqual({ host: '127.0.0.1', port: 1883 });
    const both = confOptions({ ...OPTIONS, ...tls, listen: '[::]:8883', clientCa: file });
    expect(both.listen).toEqual({ host: '::', port: 8883 });
    expect(both.tls?.clients?.listen).toEqual({ host: '::', port: 8884 });
    const text = mosquittoConf(both);
    expect(text).toContain('listener 8883 ::\n');
    expect(text).not.toContain('crlfile');
    const withCrl = confOptions({ ...OPTIONS, ...tls, clientCa: file, crl: file });
    expect(mosquittoConf(withCrl)).toContain(`crlfile ${file}\n`);
    expect(confOptions({ ...OPTIONS, ...tls }).listen.port).toBe(8883);
  });

  it('names the files as the broker sees them', () => {
    const text = mosquittoConf(
      confOptions({
        ...OPTIONS,
        out: 'here',
        seenAt: '/mosquitto/config',
        tlsCert: '/run/secrets/cert',
        tlsKey: '/run/secrets/key',
      }),
    );
    expect(text).toContain('password_file /mosquitto/config/passwords\n');
    expect(text).toContain('acl_file /mosquitto/config/access-rules\n');
    expect(text).toContain('certfile /run/secrets/cert\n');
  });

  it.each<[string, Partial<BrokerFilesOptions>, RegExp]>([
    ['a key without a certificate', { tlsKey: file }, /both --tls-cert and --tls-key/],
    ['client certificates without TLS', { clientCa: file }, /--client-ca needs --tls-cert/],
    ['a list of revoked without an authority', { ...tls, crl: file }, /--crl.*--client-ca/],
    ['TLS for the house without a certificate', { houseTls: true }, /--house-tls needs/],
    [
      'a certificate that is not there',
      { ...tls, tlsCert: '/nowhere' },
      /--tls-cert: there is no file/,
    ],
    ['an address without a port', { listen: '127.0.0.1' }, /--listen: expected host:port/],
    ['a port that is none', { listen: '127.0.0.1:70000' }, /--listen: expected host:port/],
    ['one port twice', { listen: '127.0.0.1:1884' }, /a port each, found 1884, 1884/],
    ['a line break in a path', { state: '/a\nlistener 1' }, /--state: expected an absolute path/],
    ['a relative path in a container', { seenAt: 'config' }, /--seen-at: expected an absolute/],
  ])('refuses %s', (_what, wrong, words) => {
    let failure: unknown;
    try {
      confOptions({ ...OPTIONS, ...wrong });
    } catch (error) {
      failure = error;
    }
    expect(failure).toBeInstanceOf(CommandFailure);
    expect(failure).toMatchObject({ status: EXIT.badInput, message: expect.stringMatching(words) });
  });

  it('warns of passwords in the clear outside of loopback, not over TLS', () => {
    expect(listenWarnings(confOptions(OPTIONS))).toEqual([]);
    expect(listenWarnings(confOptions({ ...OPTIONS, listen: '0.0.0.0:1883' }))).toHaveLength(1);
    const secured = { ...OPTIONS, ...tls, listen: '0.0.0.0:8883' };
    expect(listenWarnings(confOptions(secured))).toEqual([]);
    const house = { ...secured, houseListen: '0.0.0.0:1884' };
    expect(listenWarnings(confOptions(house))[0]).toContain('--house-listen');
    expect(listenWarnings(confOptions({ ...house, houseTls: true }))).toEqual([]);
  });
});

describe('what is to be done', () => {
  const conf = confOptions(OPTIONS);
  const all = {
    configuration: 'unchanged',
    passwords: 'unchanged',
    accessRules: 'unchanged',
    ownPassword: 'unchanged',
  } as const;
  const steps = (changed: object): string =>
    nextSteps({ ...all, ...changed }, OPTIONS, conf).join();

  it('is to start, to restart, to reload or nothing', () => {
    expect(steps({ configuration: 'new', passwords: 'new', ownPassword: 'new' })).toContain(
      'LINESIDE_MQTT_URL=mqtt://lineside@127.0.0.1:1884',
    );
    expect(steps({ configuration: 'changed', passwords: 'changed' })).toMatch(
      /Restart Mosquitto.*LINESIDE_MQTT_URL=/,
    );
    expect(steps({ accessRules: 'changed' })).toContain('SIGHUP');
    expect(steps({ passwords: 'changed', ownPassword: 'changed' })).toContain('Restart Lineside');
    expect(steps({})).toContain('nothing is to be done');
  });
});

describe("the user of Lineside's own processes", () => {
  it('keeps its password until a new one is asked for', async () => {
    const kept = new Map<string, BrokerUser>();
    const records = {
      brokerUsers: async () => [...kept.values()],
      setBrokerUser: async (user: BrokerUser) => void kept.set(user.name, user),
    };
    const first = await ownUser(records, 1, false);
    expect(await ownUser(records, 2, false)).toEqual(first);
    const fresh = await ownUser(records, 3, true);
    expect(fresh.secret).not.toBe(first.secret);
    expect(await ownUser(records, 4, false)).toEqual(fresh);
  });
});

describe('a file that is put in place', () => {
  let folder: string;
  let path: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'put-file-'));
    path = join(folder, 'passwords');
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  it('has its mode and leaves nothing beside it', () => {
    expect(putFile(path, 'one', 0o640)).toBe('new');
    expect(statSync(path).mode & 0o777).toBe(0o640);
    expect(putFile(path, 'two', 0o640)).toBe('changed');
    expect(readFileSync(path, 'utf8')).toBe('two');
    expect(readdirSync(folder)).toEqual(['passwords']);
  });

  it('is another file when it changes, so that who reads meanwhile has the old one', () => {
    putFile(path, 'one', 0o640);
    const { ino, mtimeMs } = statSync(path);
    chmodSync(path, 0o600);
    expect(putFile(path, 'one', 0o640)).toBe('unchanged');
    expect(statSync(path)).toMatchObject({ ino, mtimeMs });
    expect(statSync(path).mode & 0o777).toBe(0o600);
    putFile(path, 'two', 0o640);
    expect(statSync(path).ino).not.toBe(ino);
  });

  it('says when it cannot be put there', () => {
    expect(() => putFile(join(folder, 'none', 'x'), 'one', 0o640)).toThrow(/cannot write .*ENOENT/);
  });
});
