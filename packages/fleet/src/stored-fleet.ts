import { section } from '@lineside/written-file';
import { z } from 'zod';
import type { SiteFields, StatedUnit } from './fleet-document.ts';
import { siteFields, unitFields } from './schema.ts';

/** What fleet files have stated so far: plain JSON for the record store. */
export interface StoredFleet {
  readonly version: 1;
  readonly sites: readonly StoredSite[];
}

export interface StoredSite extends SiteFields {
  readonly units: readonly StoredUnit[];
}

export interface StoredUnit extends StatedUnit {
  /** True when the newest fleet file no longer names the unit. */
  readonly retired: boolean;
}

const schema: z.ZodType<StoredFleet> = section({
  version: z.literal(1),
  sites: z.array(
    section({
      ...siteFields,
      units: z.array(section({ ...unitFields, retired: z.boolean() })),
    }),
  ),
});

/** Reads what the record store kept; `null` when it is nothing that this version wrote. */
export function parseStoredFleet(json: unknown): StoredFleet | null {
  const parsed = schema.safeParse(json);
  return parsed.success ? parsed.data : null;
}
