/** What the id of an alarm looks like, everywhere. */
export const ALARM_ID_PATTERN: RegExp = /^[A-Za-z0-9_-]{1,64}$/;
