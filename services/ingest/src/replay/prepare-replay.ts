import { judgedThroughMs } from '@lineside/anomaly';
import {
  compareServices,
  phasesOf,
  restoreJudgementState,
  type ServiceEvent,
  type Snapshot,
} from '@lineside/judging';
import type { RecordStore, ServiceRecord, UnitRef } from '@lineside/storage';
import type { FleetIndex } from '../fleet-index.ts';
import { END_OF_TIMES_MS } from '../judging/all-times.ts';
import type { SettingsBook } from '../judging/settings-book.ts';
import type { Watches } from '../judging/watches.ts';
import type { LateMark } from './late-mark.ts';
import type { Replayer, ReplayResult } from './replayer.ts';

/** A replay that can become the unit's judgement. */
export interface FinishedReplay {
  readonly ref: UnitRef;
  readonly base: Snapshot | null;
  /** Event time (ms) through which it judged; what the live watch judged since is to be added. */
  readonly throughMs: number;
  readonly result: ReplayResult;
  /** Service records that it judged. */
  readonly serviceIds: ReadonlySet<string>;
  /** The mark that it answers; null when there is none. */
  readonly generation: number | null;
}

export interface ReplayParts {
  readonly records: Pick<RecordStore, 'dirtyUnits' | 'snapshotBefore' | 'serviceBetween'>;
  readonly replayer: Replayer;
  readonly fleet: FleetIndex;
  readonly settings: SettingsBook;
  readonly watches: Watches;
}

/** Judges a marked unit from the newest snapshot before the mark to where its live watch is. */
export async function replayMarked(
  parts: ReplayParts,
  mark: LateMark,
): Promise<FinishedReplay | null> {
  const unit = parts.fleet.watched(mark.site, mark.unit);
  if (unit === null) return null;
  const ref = { site: mark.site, unit: mark.unit };
  const kept = (await parts.records.dirtyUnits()).find(
    (one) => one.site === ref.site && one.unit === ref.unit,
  );
  const fromMs = Math.min(mark.fromMs, kept?.fromMs ?? mark.fromMs);
  const base = await baseBefore(parts.records, ref, fromMs);
  const watch = parts.watches.of(ref.site, ref.unit);
  const liveMs = judgedThroughMs(watch.state.watch) ?? -1;
  const throughMs = Math.max(liveMs, mark.newestMs ?? -1);
  const records = await parts.records.serviceBetween(ref, 0, END_OF_TIMES_MS);
  const judged = records.filter(({ atMs }) => atMs <= throughMs);
  const result = await parts.replayer.replay({
    ref,
    settings: parts.settings.of(unit),
    base,
    throughMs,
    services: eventsOf(judged.filter(({ atMs }) => atMs > (base?.throughMs ?? -1))),
  });
  const serviceIds = new Set(judged.map(({ id }) => id));
  return { ref, base, throughMs, result, serviceIds, generation: kept?.generation ?? null };
}

/** What a service record tells a watch. */
export function eventOf({ atMs, action, body }: ServiceRecord): ServiceEvent {
  return { atMs, action, phases: phasesOf(body['phases']) };
}

/** In the order in which they are judged. */
export function eventsOf(records: readonly ServiceRecord[]): ServiceEvent[] {
  return records.map(eventOf).sort(compareServices);
}

/** Null when there is none, or none that this program understands: judge from the first reading. */
async function baseBefore(
  records: Pick<RecordStore, 'snapshotBefore'>,
  ref: UnitRef,
  fromMs: number,
): Promise<Snapshot | null> {
  const snapshot = await records.snapshotBefore(ref, fromMs);
  const state = snapshot === null ? null : restoreJudgementState(snapshot.state);
  return snapshot === null || state === null ? null : { throughMs: snapshot.throughMs, state };
}
