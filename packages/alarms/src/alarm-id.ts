/** What the id of an alarm looks like, everywhere. */
export const ALARM_ID_PATTERN: RegExp = /^[A-Za-z0-9_-]{1,64}$/;

/**
 * A new alarm's id.
 *
 * @throws RangeError when `newId` gives something else than an id.
 */
export function checkedId(newId: () => string): string {
  const id = newId();
  if (ALARM_ID_PATTERN.test(id)) return id;
  throw new RangeError(`newId gave "${id}"; an alarm's id is ${ALARM_ID_PATTERN.source}`);
}
