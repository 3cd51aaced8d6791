import { StoreError } from '../../ports/store-error.ts';

/**
 * A value as JSON text for a column.
 *
 * @throws StoreError `STORE_BAD_INPUT` for what JSON has no word for.
 */
export function toJson(what: string, value: unknown): string {
  const text: string | undefined = JSON.stringify(value);
  if (text !== undefined) return text;
  throw new StoreError('STORE_BAD_INPUT', `${what} must be plain JSON, it is ${typeof value}`);
}

/** Lists of sites; null stands for all. */
export function sitesToJson(sites: readonly string[] | null): string | null {
  return sites === null ? null : toJson('sites', sites);
}

export function sitesFromJson(text: string | null): readonly string[] | null {
  return text === null ? null : JSON.parse(text);
}
