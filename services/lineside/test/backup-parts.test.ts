import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import { isSafeName, parseManifest } from '../src/backup/manifest.ts';
import { readLines, writeLines } from '../src/backup/reading-lines.ts';
import { restoreBackup } from '../src/backup/restore-backup.ts';
import { settingsFiles } from '../src/backup/settings-files.ts';
import { parseTarHeader, tarHeader, tarPadding } from '../src/backup/tar-header.ts';
import { openDataFolder } from '../src/data-folder.ts';

const folder = mkdtempSync(join(tmpdir(), 'lineside-parts-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('a tar header', () => {
  it('says name and size again, also above 8 GiB', () => {
    const sizes = fc.nat({ max: 2 ** 40 });
    fc.assert(
      fc.property(fc.stringMatching(/^[\w./-]{1,100}$/), sizes, (name, bytes) => {
        const header = tarHeader({ name, bytes }, 1_767_225_600_000);
        expect(parseTarHeader(header)).toEqual({ name, bytes });
        expect((bytes + tarPadding(bytes)) % 512).toBe(0);
      }),
    );
  });

  it('is refused when any byte of it is another', () => {
    const header = tarHeader({ name: 'records.db', bytes: 4096 }, 0);
    header[3] = (header[3] ?? 0) ^ 4;
    expect(() => parseTarHeader(header)).toThrow('checksum');
  });
});

describe('names in a backup', () => {
  it.each(['records.db', 'telemetry/telemetry-2026-11-23.db', 'tls/ca.pem', '.hidden'])(
    '%s stays below its folder',
    (name) => expect(isSafeName(name)).toBe(true),
  );
  it.each(['../records.db', '/etc/passwd', 'a/../../b', 'a//b', '', '.', 'a/', 'a\\b', 'a\0b'])(
    '%j is refused',
    (name) => expect(isSafeName(name)).toBe(false),
  );
});

describe('readings as lines', () => {
  it('come back exactly as they were', async () => {
    const file = join(folder, 'readings.ndjson.gz');
    const readings = [
      { site: 'a', unit: 'b', atMs: 1_767_225_600_123, channels: { rh: 71.2, leak: 0.1 + 0.2 } },
      { site: 'a', unit: 'weather', atMs: 1_767_225_600_124, channels: { wind: 5e-324 } },
    ];
    const counts = await writeLines(
      file,
      (async function* () {
        yield readings;
      })(),
    );
    expect(counts).toEqual({ readings: 2, values: 3 });
    const back: unknown[] = [];
    for await (const batch of readLines(file)) back.push(...batch);
    expect(back).toEqual(readings);
  });
});

describe('settings files', () => {
  it('are all files but those of the stores and of a running server', () => {
    const data = join(folder, 'data');
    mkdirSync(join(data, 'tls'), { recursive: true });
    mkdirSync(join(data, 'telemetry'));
    const names = ['records.db', 'records.db-wal', 'ingest.lock', 'bystander.json', 'x.part'];
    for (const name of [...names, 'applied-rota.sha256', 'tls/ca.pem', 'telemetry/week.db']) {
      writeFileSync(join(data, name), '');
    }
    expect(settingsFiles(data)).toEqual(['applied-rota.sha256', 'tls/ca.pem']);
  });
});

describe('a restore', () => {
  it('that was interrupted keeps a server from starting, and may be asked again', async () => {
    const data = join(folder, 'half');
    mkdirSync(join(data, 'restore.part'), { recursive: true });
    expect(() => openDataFolder(data)).toThrow('restore that was interrupted');
    const again = restoreBackup({ from: join(folder, 'nothing'), into: data, server: null });
    await expect(again).rejects.toThrow('there is no backup');
    expect(existsSync(join(data, 'restore.part'))).toBe(false);
  });

  it('names what is wrong with a manifest', () => {
    expect(() => parseManifest('{', 'b.tar')).toThrow('no JSON');
    expect(() => parseManifest('{"format":1}', 'b.tar')).toThrow('lineside');
    expect(() => parseManifest('{"format":9,"lineside":"7.0.0"}', 'b.tar')).toThrow(
      'taken by Lineside 7.0.0',
    );
  });
});
