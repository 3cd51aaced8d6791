/** How far a listener has come in both streams that its events are made of. */
export interface EventPosition {
  /** Sequence in the alarm journal; lasts. */
  readonly journal: number;
  /** Sequence in the memory of readings and conditions; holds within one run of the process. */
  readonly memory: number;
  /** The run of the process. */
  readonly run: string;
}

const PATTERN = /^(\d{1,15})-(\d{1,15})-([A-Za-z0-9_-]{1,32})$/;

export function formatEventId({ journal, memory, run }: EventPosition): string {
  return `${journal}-${memory}-${run}`;
}

/** Null for what `formatEventId` has not made. */
export function parseEventId(id: string): EventPosition | null {
  const [, journal, memory, run] = PATTERN.exec(id) ?? [];
  if (run === undefined) return null;
  return { journal: Number(journal), memory: Number(memory), run };
}
