import { describe, expect, it } from 'vitest';
import { hashSecret, makeNodeCredential, secretMatches } from '../src/broker/credentials.ts';

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
