/** Guards that tell whether saved JSON still has the shape of a state. */

export type FieldGuard = (value: unknown) => boolean;

/** One guard a field: a slice that gains a field does not compile until it is guarded. */
export type FieldGuards<T> = { readonly [field in keyof T]-?: FieldGuard };

export const isNumber: FieldGuard = (value) => Number.isFinite(value);
export const isNumberOrNull: FieldGuard = (value) => value === null || Number.isFinite(value);
export const isBoolean: FieldGuard = (value) => typeof value === 'boolean';

export function isOneOf(values: readonly (string | null)[]): FieldGuard {
  const allowed = new Set<unknown>(values);
  return (value) => allowed.has(value);
}

export function isListOf(item: FieldGuard, most: number): FieldGuard {
  return (value) => Array.isArray(value) && value.length <= most && value.every(item);
}

export function isNullOr(guard: FieldGuard): FieldGuard {
  return (value) => value === null || guard(value);
}

/** True for an object that has every guarded field and no other. */
export function hasShape<T>(guards: FieldGuards<T>): FieldGuard {
  const fields = Object.entries<FieldGuard>(guards);
  return (value) => {
    if (typeof value !== 'object' || value === null || Array.isArray(value)) return false;
    const found = new Map<string, unknown>(Object.entries(value));
    return found.size === fields.length && fields.every(([name, guard]) => guard(found.get(name)));
  };
}
