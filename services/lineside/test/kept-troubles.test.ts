import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { newBystander } from '@lineside/paging/bystander';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { keptTroubles } from '../src/bystander/kept-troubles.ts';

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'lineside-kept-'));
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

const { parts } = newBystander(0);
const TROUBLES = { ...parts, server: { ...parts.server, brokenSinceMs: 5, timesTold: 1 } };

describe('what bystanders keep', () => {
  it('goes from one to the next, and the one before has had its turn', () => {
    const first = keptTroubles(folder);
    expect(first.claim()).toBeNull();
    expect(first.isTaken()).toBe(false);
    first.save(TROUBLES);
    const second = keptTroubles(folder);
    expect(second.claim()).toEqual(TROUBLES);
    expect(first.isTaken()).toBe(true);
    expect(second.isTaken()).toBe(false);
    expect(readdirSync(folder)).toEqual(['bystander.json']);
    expect(statSync(join(folder, 'bystander.json')).mode & 0o077).toBe(0);
  });

  it('is over when the data folder is no more', () => {
    const one = keptTroubles(folder);
    one.claim();
    rmSync(folder, { recursive: true });
    expect(one.isTaken()).toBe(true);
    one.save(TROUBLES);
    expect(one.isTaken()).toBe(true);
  });

  it('begins anew where a file cannot be read', () => {
    writeFileSync(join(folder, 'bystander.json'), '{"owner":"somebody","trou');
    const one = keptTroubles(folder);
    expect(one.claim()).toBeNull();
    expect(one.isTaken()).toBe(false);
  });

  it('changes hands on a full disk, too, within the file that is there', () => {
    const before = keptTroubles(folder);
    before.claim();
    before.save(TROUBLES);
    const after = keptTroubles(folder, full);
    expect(after.claim()).toEqual(TROUBLES);
    expect([before.isTaken(), after.isTaken()]).toEqual([true, false]);
    after.save(parts);
    expect(keptTroubles(folder).claim()).toEqual(parts);
    expect(readdirSync(folder)).toEqual(['bystander.json']);
  });

  it('ends nobody when nothing can be written at all', () => {
    const one = keptTroubles(folder, full);
    expect(one.claim()).toBeNull();
    one.save(TROUBLES);
    expect(one.isTaken()).toBe(false);
  });
});

function full(): void {
  throw new Error('ENOSPC: no space left on device');
}
