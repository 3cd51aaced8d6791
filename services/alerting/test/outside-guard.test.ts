import type { LookupAddress } from 'node:dns';
import { describe, expect, it } from 'vitest';
import { createOutsideGuard } from '../src/channels/outside-guard.ts';

function resolvingTo(...addresses: readonly string[]): () => Promise<readonly LookupAddress[]> {
  return async () =>
    addresses.map((address) => ({ address, family: address.includes(':') ? 6 : 4 }));
}

const may = async (url: string, allow: readonly string[] = [], ...at: readonly string[]) =>
  (await createOutsideGuard({ allow, resolve: resolvingTo(...at) })(new URL(url))).may;

/** Sources: RFC 6890 and 8190 (special-purpose addresses), 5771, 4291, 4193, 6598, 3927, 6052. */
const INSIDE = [
  '0.0.0.0',
  '0.1.2.3',
  '10.0.0.1',
  '100.64.0.1',
  '100.100.100.200',
  '127.0.0.1',
  '127.255.255.254',
  '168.63.129.16',
  '169.254.169.254',
  '172.16.0.1',
  '172.31.255.255',
  '192.0.0.192',
  '192.0.2.1',
  '192.168.1.1',
  '198.18.0.1',
  '198.51.100.7',
  '203.0.113.7',
  '224.0.0.1',
  '240.0.0.1',
  '255.255.255.255',
  '::',
  '::1',
  '::127.0.0.1',
  '::ffff:10.0.0.1',
  '::ffff:a9fe:a9fe',
  '::ffff:0:127.0.0.1',
  '64:ff9b::7f00:1',
  '64:ff9b::a9fe:a9fe',
  '64:ff9b:1::1',
  '100::1',
  '2001::1',
  '2001:db8::1',
  '2002:7f00:1::',
  'fc00::1',
  'fd00:ec2::254',
  'fe80::1',
  'fec0::1',
  'ff02::1',
];

describe('the guard', () => {
  it.each(INSIDE)('lets nobody call %s, by a name or as it is', async (address) => {
    expect(await may('https://gate.example/', [], address)).toBe(false);
    const host = address.includes(':') ? `[${address}]` : address;
    expect(await may(`https://${host}/`)).toBe(false);
  });

  it.each(['198.41.0.4', '2001:500:2f::f', '2606:4700::1111', '64:ff9b::c629:4'])(
    'lets %s be called',
    async (address) => {
      expect(await may('https://gate.example/', [], address)).toBe(true);
    },
  );

  it.each(['0x7f.1', '2130706433', '127.1', '017700000001', 'localhost.', '[::ffff:7f00:1]'])(
    'is not taken in by %s for this machine',
    async (host) => {
      expect(await may(`https://${host}/`, [], '127.0.0.1')).toBe(false);
    },
  );

  it('refuses a name when any of its addresses is inside', async () => {
    expect(await may('https://gate.example/', [], '198.41.0.4', '10.0.0.1')).toBe(false);
  });

  it('lets networks be called that are allowed, without TLS too', async () => {
    const allow = ['10.2.0.0/16', 'fd12::/32'];
    expect(await may('http://gate.example/', allow, '10.2.3.4', 'fd12::7')).toBe(true);
    expect(await may('https://gate.example/', allow, '10.3.0.1')).toBe(false);
    expect(await may('https://gate.example/', allow, '::ffff:10.2.0.9')).toBe(true);
  });

  it('asks for TLS everywhere else', async () => {
    expect(await may('http://gate.example/', [], '198.41.0.4')).toBe(false);
    expect(await may('http://gate.example/', ['10.2.0.0/16'], '10.2.0.1', '198.41.0.4')).toBe(
      false,
    );
  });

  it('says that a name cannot be resolved, which may pass', async () => {
    const resolve = async (): Promise<never> => {
      throw Object.assign(new Error('no'), { code: 'ENOTFOUND' });
    };
    const guard = createOutsideGuard({ allow: [], resolve });
    expect(await guard(new URL('https://gate.example/'))).toEqual({
      may: 'unknown',
      reason: 'cannot resolve gate.example: ENOTFOUND',
    });
    expect(await may('https://gate.example/')).toBe('unknown');
  });

  it('refuses networks that are none when it is made', () => {
    expect(() => createOutsideGuard({ allow: ['10.0.0.1'] })).toThrow(/'10.0.0.1' is no network/);
  });
});
