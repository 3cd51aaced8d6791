import { randomUUID } from 'node:crypto';
import { existsSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { KeptTroubles, Troubles } from '@lineside/alerting/bystander';
import { LOOKED_AFTER } from '@lineside/paging/bystander';
import { z } from 'zod';

const FILE = 'bystander.json';

const time = z.number().nullable();

const watch = z.object({
  brokenSinceMs: time,
  wellSinceMs: time,
  toldAtMs: time,
  timesTold: z.number(),
});

const kept = z.object({
  /** Whose turn it is. */
  owner: z.string(),
  troubles: z.record(z.enum(LOOKED_AFTER), watch).nullable(),
});

type Kept = z.infer<typeof kept>;

/**
 * Who looks after a data folder, and what was told, in a file in the folder. Whoever claims it last
 * has it, so that a new server's bystander ends the one before. A disk that is full ends nobody: it
 * is what has to be told then.
 */
export function keptTroubles(
  dataFolder: string,
  writeFile: (file: string, text: string) => void = forOwnerOnly,
): KeptTroubles {
  const ours = randomUUID();
  const file = join(dataFolder, FILE);
  let owner: string | null = ours;
  const write = (troubles: Troubles | null): boolean => {
    const beside = `${file}.${process.pid}`;
    const text = JSON.stringify({ owner: ours, troubles });
    const isWritten = succeeds(() => {
      writeFile(beside, text);
      renameSync(beside, file);
    });
    if (isWritten) return true;
    rmSync(beside, { force: true });
    // A full disk still takes what lies within a file that is there.
    return succeeds(() => writeWithin(file, text));
  };
  return {
    claim() {
      const before = read(file);
      owner = write(before?.troubles ?? null) ? ours : (before?.owner ?? null);
      return before?.troubles ?? null;
    },
    isTaken: () => !existsSync(dataFolder) || (read(file)?.owner ?? null) !== owner,
    save(troubles) {
      if (write(troubles)) owner = ours;
    },
  };
}

function succeeds(action: () => void): boolean {
  try {
    action();
    return true;
  } catch {
    return false;
  }
}

/** Blanks behind it cover what was longer before. */
function writeWithin(file: string, text: string): void {
  writeFileSync(file, text.padEnd(statSync(file).size), { flag: 'r+' });
}

function forOwnerOnly(file: string, text: string): void {
  writeFileSync(file, text, { mode: 0o600 });
}

/** Null when there is none, and for one that cannot be read. */
function read(file: string): Kept | null {
  try {
    return kept.parse(JSON.parse(readFileSync(file, 'utf8')));
  } catch {
    return null;
  }
}
