import type { ServiceEvent } from '@lineside/judging';
import type { ChannelValues } from '@lineside/readings';

/** What a line is about. At one event time weather comes first, then service, then readings. */
export const RANK = { weather: 0, service: 1, reading: 2 } as const;
type Rank = (typeof RANK)[keyof typeof RANK];

/** One line that was taken, of any input. */
export interface TestEvent {
  readonly rank: Rank;
  readonly site: string;
  readonly unit: string;
  readonly atMs: number;
  /**
   * Null for a service record, and for a line in which every channel is missing or null: nothing
   * was measured, so nobody was heard, but time has passed.
   */
  readonly channels: ChannelValues | null;
  readonly service: ServiceEvent | null;
}

/** Order in which events are judged; the order of their lines decides the rest. */
export function compareEvents(one: TestEvent, other: TestEvent): number {
  return one.atMs - other.atMs || one.rank - other.rank;
}
