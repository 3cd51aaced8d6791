import { describe, expect, it } from 'vitest';
import { hashSecret, makeNodeCredential, secretMatches } from '../src/broker/credentials.ts';
import { mosquittoHash } from '../src/broker/mosquitto-hash.ts';

describe('node credentials', () => {
  it('hashes as the published SHA-256 example says', () => {
    // FIPS 180-4 example "abc".
    const expected = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';
    expect(hashSecret('abc')).toBe(expected);
    expect(hashSecret(Buffer.from('abc'))).toBe(expected);
  });

  it('makes a user name from site and unit and a new password each time', () => {
    const first = makeNodeCredential('harbour-mall', 'rtu-01', 1_000);
    const second = makeNodeCredential('harbour-mall', 'rtu-01', 2_000);
    expect(first.username).toBe('harbour-mall/rtu-01');
    expect(first.password.length).toBeGreaterThanOrEqual(43);
    expect(second.password).not.toBe(first.password);
    expect(first.credential).toEqual({
      site: 'harbour-mall',
      unit: 'rtu-01',
      username: 'harbour-mall/rtu-01',
      secretHash: hashSecret(first.password),
      mosquittoHash: mosquittoHash(first.password, saltOf(first.credential.mosquittoHash)),
      createdAtMs: 1_000,
    });
  });

  it('accepts the right secret only', () => {
    const { password, credential } = makeNodeCredential('a', 'b', 0);
    expect(secretMatches(password, credential.secretHash)).toBe(true);
    expect(secretMatches(`${password}x`, credential.secretHash)).toBe(false);
    expect(secretMatches(password, 'not a hash')).toBe(false);
  });
});

describe('the hash for a password file of Mosquitto', () => {
  it('is what its own tool makes of the same secret and salt', () => {
    // Written by mosquitto_passwd 2.0.11 for the password 'known secret'.
    const theirs =
      '$7$101$LrDAOyaOOiVuR3Q+$rMtOGIs1OnKlDXmpcioT33AzozUgdjcMWESXO15fAV4tWn5GDl4Q6mR1RsAr' +
      'RFUe7Rokmf01sbDArAIA5sv2Aw==';
    expect(mosquittoHash('known secret', saltOf(theirs))).toBe(theirs);
  });

  it('has a salt of its own each time', () => {
    expect(mosquittoHash('secret')).not.toBe(mosquittoHash('secret'));
  });
});

function saltOf(hash: string | null): Buffer {
  return Buffer.from(hash?.split('$')[3] ?? '', 'base64');
}
