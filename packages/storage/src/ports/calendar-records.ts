/** Secret addresses under which people subscribe to the rota. Only their hashes are kept. */
export interface CalendarRecords {
  /** Gives a user name's calendar this secret in place of the one before; null takes it away. */
  setCalendarSecret(username: string, secretHash: string | null): Promise<void>;
  /** User name whose calendar has the secret; null when nobody's has it. */
  calendarOwner(secretHash: string): Promise<string | null>;
}
