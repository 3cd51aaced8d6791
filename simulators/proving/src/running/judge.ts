import type { Alarm } from '@lineside/alarms';
import type { WettingEpisode } from '@lineside/anomaly';
import type { ServiceEvent } from '@lineside/judging';
import type { ChannelValues, Reading } from '@lineside/readings';

/** All that a judge said about one unit. */
export interface Judged {
  readonly alarms: readonly Alarm[];
  readonly episodes: readonly WettingEpisode[];
}

/** Whoever watches one unit. Events come in ascending event time, a report before its readings. */
export interface Judge {
  weather(report: Reading): void;
  /** @param report what `weatherFor` gives for the moment: the report to judge it by, or null. */
  reading(atMs: number, channels: ChannelValues, report: Reading | null): void;
  service(event: ServiceEvent): void;
  /** No more events. */
  end(lastMs: number): Judged;
}
