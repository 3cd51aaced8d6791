import { describe, expect, it } from 'vitest';
import { readSettings } from '../src/settings.ts';

const read = (text: string) => readSettings({ LINESIDE_TRUSTED_PROXIES: text }).trustedProxies;

describe('trusted proxies', () => {
  it('are none unless somebody says so', () => {
    expect(readSettings({}).trustedProxies).toEqual([]);
    expect(read(' , ')).toEqual([]);
  });

  it('are networks with a comma between', () => {
    expect(read('172.30.1.0/24, fd00:30::/64')).toEqual(['172.30.1.0/24', 'fd00:30::/64']);
  });

  it.each([
    ['an address without a length', '172.30.1.2', "'172.30.1.2' is no network in CIDR notation"],
    ['a name', 'proxy', "'proxy' is no network"],
    ['a length that is too long', '10.0.0.0/33', "'10.0.0.0/33' is no network"],
    ['all of IPv4', '10.0.0.0/8,0.0.0.0/0', '0.0.0.0/0 is every address'],
    ['all of IPv6', '::/0', '::/0 is every address'],
  ])('are refused as %s', (_what, text, words) => {
    expect(() => read(text)).toThrow(words);
    expect(() => read(text)).toThrow(/^LINESIDE_TRUSTED_PROXIES: /);
  });
});
