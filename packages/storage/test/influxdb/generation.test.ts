import { describe, expect, it } from 'vitest';
import {
  authorization,
  generationOf,
  lacksOf,
  statementsPerRequest,
  writePath,
} from '../../src/influxdb/generation.ts';

describe('generationOf', () => {
  it.each([
    ['1.6.7~rc0', 1],
    ['1.8.10', 1],
    ['v2.7.6', 2],
    ['2.0.4', 2],
    ['3.2.0', 3],
  ])('reads %s', (version, generation) => {
    expect(generationOf(version, 'db:8086')).toBe(generation);
  });

  it.each([null, '', 'unknown', '0.9.6', '12.0.0'])('refuses %j', (version) => {
    expect(() => generationOf(version, 'db:8086')).toThrow(/db:8086.*InfluxDB 1, 2 or 3 is needed/);
  });
});

describe('what differs between generations', () => {
  it('is the path of writing', () => {
    expect(writePath(1, 'a&b=c d')).toBe('/write?db=a%26b%3Dc+d&precision=ms');
    expect([writePath(2, 'x'), writePath(3, 'x')]).toEqual([null, null]);
  });

  it('is how a sign-in is shown', () => {
    // Example of RFC 7617, section 2.
    expect(authorization(1, 'Aladdin:open sesame')).toBe('Basic QWxhZGRpbjpvcGVuIHNlc2FtZQ==');
    expect([authorization(1, null), authorization(2, 'a:b'), authorization(3, 'a')]).toEqual([
      null,
      null,
      null,
    ]);
  });

  it('is whether statements can share a request, and rows can be deleted', () => {
    expect(statementsPerRequest(3)).toBe(1);
    expect(statementsPerRequest(1)).toBeGreaterThan(1);
    expect(Object.keys(lacksOf(1))).not.toContain('dropBefore');
    expect(lacksOf(3)['dropBefore']).toContain('retention');
  });
});
