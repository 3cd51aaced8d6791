import type { Unit } from '@lineside/fleet';
import { badRequest } from '../errors/api-error.ts';
import { CURSOR_RULE } from './api.ts';

/** Units go by site, then unit; ids are ASCII, so code units order them. */
export function compareUnits(one: Unit, other: Unit): number {
  if (one.site !== other.site) return one.site < other.site ? -1 : 1;
  if (one.id === other.id) return 0;
  return one.id < other.id ? -1 : 1;
}

export interface UnitPosition {
  readonly site: string;
  readonly unit: string;
}

/** Opaque form of the place after a unit. */
export function encodeUnitCursor(last: Unit): string {
  return Buffer.from(JSON.stringify([last.site, last.id])).toString('base64url');
}

/** Throws 400 for what `encodeUnitCursor` has not made. */
export function decodeUnitCursor(cursor: string): UnitPosition {
  const [site, unit, ...rest] = stringsIn(Buffer.from(cursor, 'base64url').toString());
  if (site === undefined || unit === undefined || rest.length > 0) {
    throw badRequest('cursor', CURSOR_RULE);
  }
  return { site, unit };
}

function stringsIn(json: string): readonly string[] {
  try {
    const value: unknown = JSON.parse(json);
    return Array.isArray(value) && value.every((part) => typeof part === 'string') ? value : [];
  } catch {
    return [];
  }
}

export function isAfter(unit: Unit, position: UnitPosition): boolean {
  return unit.site > position.site || (unit.site === position.site && unit.id > position.unit);
}
