import { z } from 'zod';
import { CommandFailure, EXIT } from '../failure.ts';

/** Raised when an older program could no longer restore a backup. */
export const BACKUP_FORMAT = 1;

export const MANIFEST_NAME = 'manifest.json';

/** Where the parts lie, in the backup as in a data folder. */
export const RECORDS_NAME = 'records.db';
export const WEEKS_FOLDER = 'telemetry';
/** Readings as lines; only in a backup. */
export const LINES_NAME = 'readings.ndjson.gz';

/** Ordinary names below one folder: nothing that could lead out of it. */
const SAFE_NAME = /^(?!.*(?:^|\/)\.\.?(?:\/|$))[\w.@+-]+(?:\/[\w.@+-]+)*$/;

/** Whether a file of a backup may have this name. */
export function isSafeName(name: string): boolean {
  return name.length <= 100 && SAFE_NAME.test(name);
}

export interface KeptFile {
  readonly name: string;
  readonly kind: 'records' | 'week' | 'readings' | 'settings';
  readonly bytes: number;
  readonly sha256: string;
  /** Rows of each table; of readings as lines, `readings` and `values`. */
  readonly rows: Readonly<Record<string, number>>;
}

export interface Manifest {
  readonly format: number;
  /** Version of the program that took it. */
  readonly lineside: string;
  /** What was acknowledged before this is in it. */
  readonly takenAt: string;
  readonly readings: {
    /** Where the server kept them. */
    readonly store: 'sqlite' | 'influxdb';
    /** `weeks`: database files. `lines`: for any store. `none`: saved by other means. */
    readonly form: 'weeks' | 'lines' | 'none';
  };
  readonly files: readonly KeptFile[];
}

const keptFile: z.ZodType<KeptFile> = z.object({
  name: z.string().refine(isSafeName),
  kind: z.enum(['records', 'week', 'readings', 'settings']),
  bytes: z.int().nonnegative(),
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  rows: z.record(z.string(), z.int().nonnegative()),
});

const manifest: z.ZodType<Manifest> = z.object({
  format: z.literal(BACKUP_FORMAT),
  lineside: z.string(),
  takenAt: z.iso.datetime(),
  readings: z.object({
    store: z.enum(['sqlite', 'influxdb']),
    form: z.enum(['weeks', 'lines', 'none']),
  }),
  files: z.array(keptFile),
});

/** @throws CommandFailure (2) for one of a newer version, or that cannot be read. */
export function parseManifest(text: string, where: string): Manifest {
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch (error) {
    throw damaged(where, `${MANIFEST_NAME} is no JSON`, error);
  }
  const format = z.object({ format: z.int(), lineside: z.string() }).safeParse(document);
  if (format.success && format.data.format > BACKUP_FORMAT) {
    const { format: found, lineside } = format.data;
    throw new CommandFailure(
      EXIT.badInput,
      `${where} has backup format ${found}, taken by Lineside ${lineside}; this version restores ` +
        `up to format ${BACKUP_FORMAT}: install that version or a newer one`,
    );
  }
  const parsed = manifest.safeParse(document);
  if (parsed.success) return parsed.data;
  throw damaged(where, `${MANIFEST_NAME}: ${z.prettifyError(parsed.error)}`, parsed.error);
}

/** A backup that must not be restored. */
export function damaged(where: string, what: string, cause?: unknown): CommandFailure {
  return new CommandFailure(
    EXIT.badInput,
    `${where} is damaged or no backup (${what}); nothing was restored, use another backup`,
    { cause },
  );
}
