import { type Alarm, type AlarmJournalEntry, reconcileAlarms } from '@lineside/alarms';
import { judgedThroughMs, type WettingEpisode } from '@lineside/anomaly';
import { type Snapshot, wettingsOpenFromMs } from '@lineside/judging';
import type { Judgement, RecordStore, UnitRef } from '@lineside/storage';
import type { Arrivals } from '../replay/arrivals.ts';
import type { DirtyUnits } from '../replay/dirty-units.ts';
import { eventsOf, type FinishedReplay, type ReplayParts } from '../replay/prepare-replay.ts';
import type { ReplayResult } from '../replay/replayer.ts';
import { END_OF_TIMES_MS } from './all-times.ts';
import { isClockFault } from './silence-watch.ts';
import { SitePower } from './site-power.ts';
import { checkpointOf, type UnitWatch } from './unit-watch.ts';
import type { UntilCommitted } from './until-committed.ts';

export interface AdoptionParts extends ReplayParts {
  readonly records: ReplayParts['records'] & Pick<RecordStore, 'alarmsSince' | 'commitJudgement'>;
  readonly arrivals: Arrivals;
  readonly dirty: Pick<DirtyUnits, 'announce' | 'committed'>;
  readonly untilCommitted: UntilCommitted;
  readonly newId: () => string;
  readonly onJudged: (watch: UnitWatch) => void;
}

/**
 * Alarms cleared so long before the base can be no other's match: a raise within the hour, dated
 * back by no more than a day, reopens.
 */
const LOOK_BACK_MS = 48 * 3_600_000;

/**
 * Makes a replay the judgement of its unit: what the live watch judged meanwhile is added, alarms
 * are reconciled with the journal, and all of it is committed at once. Not to be called beside a
 * round of live judging. False only when the store refuses while closing.
 */
export async function adoptReplay(
  parts: AdoptionParts,
  finished: FinishedReplay,
): Promise<boolean> {
  const { ref, base, generation } = finished;
  if (parts.fleet.watched(ref.site, ref.unit) === null) return true;
  const watch = parts.watches.of(ref.site, ref.unit);
  const { result, serviceIds } = await withNewest(parts, finished, watch);
  const { state } = result;
  const throughMs = judgedThroughMs(state.watch) ?? -1;
  const sinceMs = base === null ? -1 : Math.min(base.throughMs, openFrom(base) - 1);
  const keepsBase = base !== null && base.throughMs > sinceMs;
  const snapshots = keepsBase ? [base, ...result.snapshots] : result.snapshots;
  const power = new SitePower(parts.watches, [
    { ref, before: watch.state.watch.power, after: state.watch.power },
  ]);
  const disturbed = power.disturbed();
  if (!(await parts.dirty.announce(disturbed))) return false;
  const alarms = power.alarms(ref, result.alarms);
  const commit = async (): Promise<boolean> => {
    const entries = await journalEntries(parts, ref, base, alarms, throughMs);
    const judgement: Judgement = {
      checkpoints: [checkpointOf(ref, state, serviceIds)],
      alarms: entries.map((entry) => ({ entry })),
      episodes: result.episodes
        .filter(({ startMs }) => startMs > sinceMs)
        .map((episode) => ({ ...ref, episode })),
      snapshots: snapshots.map((snapshot) => ({ ...ref, ...snapshot })),
      rejudged: [{ ...ref, sinceMs, generation }],
    };
    await parts.records.commitJudgement(judgement);
    return entries.length > 0;
  };
  if (!(await parts.untilCommitted(commit))) return false;
  watch.adopt(state, serviceIds);
  parts.dirty.committed(disturbed);
  parts.arrivals.reached(ref, Math.max(throughMs, state.servicedAtMs ?? -1));
  parts.onJudged(watch);
  return true;
}

function openFrom(base: Snapshot): number {
  return wettingsOpenFromMs(base.state) ?? base.throughMs + 1;
}

/** Adds what the live watch judged, and what was recorded, since the replay was begun. */
async function withNewest(
  parts: AdoptionParts,
  { ref, throughMs, result, serviceIds }: FinishedReplay,
  watch: UnitWatch,
): Promise<Pick<FinishedReplay, 'result' | 'serviceIds'>> {
  const unit = parts.fleet.watched(ref.site, ref.unit);
  const liveMs = Math.max(judgedThroughMs(watch.state.watch) ?? -1, throughMs);
  const records = await parts.records.serviceBetween(ref, throughMs + 1, END_OF_TIMES_MS);
  if (unit === null || (liveMs === throughMs && records.length === 0)) {
    return { result, serviceIds };
  }
  const tail = await parts.replayer.replay({
    ref,
    settings: parts.settings.of(unit),
    base: { throughMs, state: result.state },
    throughMs: liveMs,
    services: eventsOf(records),
  });
  return {
    result: joinedResults(result, tail),
    serviceIds: new Set([...serviceIds, ...records.map(({ id }) => id)]),
  };
}

function joinedResults(first: ReplayResult, tail: ReplayResult): ReplayResult {
  const alarms = new Map([...first.alarms, ...tail.alarms].map((alarm) => [alarm.id, alarm]));
  const episodes = new Map<number, WettingEpisode>();
  for (const episode of [...first.episodes, ...tail.episodes]) {
    episodes.set(episode.startMs, episode);
  }
  return {
    state: tail.state,
    changes: [...first.changes, ...tail.changes],
    alarms: [...alarms.values()],
    episodes: [...episodes.values()],
    snapshots: [...first.snapshots, ...tail.snapshots],
    judgedReadings: first.judgedReadings + tail.judgedReadings,
  };
}

async function journalEntries(
  parts: AdoptionParts,
  ref: UnitRef,
  base: Snapshot | null,
  judged: readonly Alarm[],
  throughMs: number,
): Promise<readonly AlarmJournalEntry[]> {
  const fromMs = base?.throughMs ?? -1;
  // A base may reach beyond its readings, to a visit; the alarms that it knows do not.
  const readMs = base === null ? fromMs : (judgedThroughMs(base.state.watch) ?? 0);
  const stored = await parts.records.alarmsSince(ref, Math.max(0, readMs - LOOK_BACK_MS));
  const raised = new Set(judged.map(keyOf));
  const sensorStands = judged.some(({ kind, standing }) => kind === 'sensor' && standing);
  const touched = stored.filter((alarm) => {
    // Silence and clocks go by time of receipt. Two alarms of one kind cannot stand, so a clock
    // fault gives way to what the readings say about the sensor.
    if (alarm.kind === 'silent') return false;
    if (isClockFault(alarm)) return sensorStands && alarm.standing;
    return (alarm.clearedAtMs ?? Infinity) > fromMs || raised.has(keyOf(alarm));
  });
  return reconcileAlarms(touched, judged, { atMs: throughMs, newId: parts.newId });
}

function keyOf({ kind, raisedAtMs }: Alarm): string {
  return `${kind} ${raisedAtMs}`;
}
