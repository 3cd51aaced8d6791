/** One step of the schema. A step that was released is never changed; a new one is added. */
export interface Migration {
  /** `PRAGMA user_version` after it; the first is 1, each next one more. */
  readonly version: number;
  readonly sql: string;
}
