import { describe, expect, it } from 'vitest';
import { readyLine } from '../src/serve/ready-line.ts';
import { ROLES, type Role, refuseIdleFleetFile, rolesFrom } from '../src/serve/roles.ts';

describe('--only', () => {
  it('is all services when nothing is named', () => {
    expect([...rolesFrom([])]).toEqual([...ROLES]);
  });

  it('names one or several services', () => {
    expect([...rolesFrom(['alerting', 'api', 'api'])].sort()).toEqual(['alerting', 'api']);
  });

  it('says what it knows when it is something else', () => {
    expect(() => rolesFrom(['api', 'broker'])).toThrow(
      "--only: expected one of ingest, api, alerting, found 'broker'",
    );
  });
});

describe('--fleet', () => {
  const check = (roles: readonly Role[], file?: string) => () =>
    refuseIdleFleetFile(new Set(roles), file);

  it('is refused where nobody would apply the file', () => {
    expect(check(['api', 'alerting'], 'fleet.yaml')).toThrow(
      "ingest applies the fleet file, and this process runs without it; give --fleet to 'lineside serve --only ingest'",
    );
  });

  it('is taken beside ingest, and may be left out', () => {
    expect(check(['ingest'], 'fleet.yaml')).not.toThrow();
    expect(check(ROLES, 'fleet.yaml')).not.toThrow();
    expect(check(['api'])).not.toThrow();
  });
});

describe('the ready line', () => {
  const api = { httpUrl: 'http://127.0.0.1:8080', publicUrl: 'x', welcomeLink: null };
  const lineOf = (roles: readonly Role[], httpUrl: string | null): string =>
    readyLine(new Set(roles), { ingest: null, api: httpUrl === null ? null : { ...api, httpUrl } });

  it('names services that are not all of them, and where they listen', () => {
    expect(lineOf(['alerting'], null)).toBe('ready role=alerting\n');
    expect(lineOf(['alerting', 'api'], 'http://127.0.0.1:8080')).toBe(
      'ready role=api,alerting http=http://127.0.0.1:8080\n',
    );
  });

  it('names no service when all of them are there', () => {
    expect(lineOf(ROLES, 'http://127.0.0.1:8080')).toBe('ready http=http://127.0.0.1:8080\n');
  });
});
