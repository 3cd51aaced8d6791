import type { Alarm } from '@lineside/alarms';
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

/** An alarm. Those of before alarms could be withdrawn do not say that they are not. */
export function alarmFromJson(text: string): Alarm {
  return { withdrawn: false, ...JSON.parse(text) };
}

/** Lists of sites; null stands for all. */
export function sitesToJson(sites: readonly string[] | null): string | null {
  return sites === null ? null : toJson('sites', sites);
}

export function sitesFromJson(text: string | null): readonly string[] | null {
  return text === null ? null : JSON.parse(text);
}
