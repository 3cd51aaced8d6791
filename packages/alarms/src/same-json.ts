/**
 * Whether two values are the same once both are JSON: the order of fields, fields that are
 * undefined, and the sign of zero do not count, and JSON has null for what is no finite number.
 */
export function sameJson(a: unknown, b: unknown): boolean {
  const one = asJson(a);
  const other = asJson(b);
  if (!isObject(one) || !isObject(other)) return one === other;
  if (Array.isArray(one) !== Array.isArray(other)) return false;
  const keys = keysOf(one);
  if (keys.length !== keysOf(other).length) return false;
  return keys.every(
    (key) => Object.hasOwn(other, key) && sameJson(Reflect.get(one, key), Reflect.get(other, key)),
  );
}

function asJson(value: unknown): unknown {
  return typeof value === 'number' && !Number.isFinite(value) ? null : value;
}

function isObject(value: unknown): value is object {
  return typeof value === 'object' && value !== null;
}

function keysOf(value: object): readonly string[] {
  return Object.keys(value).filter((key) => Reflect.get(value, key) !== undefined);
}
