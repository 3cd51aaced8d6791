import { judgedThroughMs, WEATHER_STALE_MS } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import { stateThroughMs } from '@lineside/judging';
import { type Reading, WEATHER_UNIT } from '@lineside/readings';
import type { RecordStore, TelemetryStore, UnitRef } from '@lineside/storage';
import type { Logger } from 'pino';
import { type FleetIndex, unitKey } from '../fleet-index.ts';
import type { Arrivals } from '../replay/arrivals.ts';
import type { DirtyUnits } from '../replay/dirty-units.ts';
import { LateMarks } from '../replay/late-mark.ts';
import { eventsOf } from '../replay/prepare-replay.ts';
import type { Replayer } from '../replay/replayer.ts';
import { StoredReadings } from '../replay/stored-readings.ts';
import type { JudgementWriter } from './judgement-writer.ts';
import { newService } from './service-inbox.ts';
import type { SettingsBook } from './settings-book.ts';
import { SitePower } from './site-power.ts';
import { checkpointOf, type UnitWatch, watchFromCheckpoint } from './unit-watch.ts';
import type { Watches } from './watches.ts';
import type { WeatherTracks } from './weather-tracks.ts';

export interface RestoreParts {
  readonly telemetry: Pick<TelemetryStore, 'readings' | 'latest'>;
  readonly records: Pick<
    RecordStore,
    'checkpoints' | 'settingsVersions' | 'addSettingsVersions' | 'serviceBetween'
  >;
  readonly fleet: FleetIndex;
  readonly watches: Watches;
  readonly settings: SettingsBook;
  readonly tracks: WeatherTracks;
  readonly dirty: DirtyUnits;
  readonly arrivals: Arrivals;
  readonly replayer: Replayer;
  readonly writer: JudgementWriter;
  readonly log: Logger;
}

/**
 * Brings every watch to the end of what is stored, from its checkpoint on. What came late before
 * the restart, or was judged by another version of the program, is marked for a replay. Afterwards
 * the state is what an uninterrupted run would have, so an end of the process at any moment changes
 * no alarm.
 */
export async function restoreWatches(parts: RestoreParts): Promise<void> {
  await parts.dirty.restore();
  for (const checkpoint of await parts.records.checkpoints()) {
    const watch = watchFromCheckpoint(checkpoint);
    if (watch !== null) {
      parts.watches.add(watch);
      continue;
    }
    const { site, unit } = checkpoint;
    parts.log.warn({ site, unit }, 'saved watch is of another version; its history is judged anew');
    const late = new LateMarks();
    late.disturbed(checkpoint, 0);
    await mark(parts.dirty, late);
  }
  const watchOf = (unit: Unit): UnitWatch => parts.watches.of(unit.site, unit.id);
  await parts.settings.restore(parts.records, (unit) => stateThroughMs(watchOf(unit).state));
  const newest = new Map(
    (await parts.telemetry.latest()).map((each) => [unitKey(each.site, each.unit), each]),
  );
  for (const unit of parts.fleet.allWatched()) {
    await catchUp(parts, unit, newest.get(unitKey(unit.site, unit.id)) ?? null);
    const { ref, state } = watchOf(unit);
    parts.arrivals.reached(ref, stateThroughMs(state) ?? Number.NEGATIVE_INFINITY);
  }
  await fillTracks(parts);
}

async function mark(dirty: DirtyUnits, late: LateMarks): Promise<void> {
  const { all } = late;
  if (!(await dirty.announce(all))) {
    throw new Error('records cannot be written: late readings of before stay unjudged');
  }
  dirty.committed(all);
}

/** Judges what is stored beyond the checkpoint, and marks what does not fit behind it. */
async function catchUp(parts: RestoreParts, unit: Unit, newest: Reading | null): Promise<void> {
  const watch = parts.watches.of(unit.site, unit.id);
  const { ref, state } = watch;
  const instantMs = judgedThroughMs(state.watch) ?? -1;
  const reachedMs = Math.max(instantMs, state.servicedAtMs ?? -1);
  const newestMs = Math.max(newest?.atMs ?? -1, instantMs);
  const { records, heardIds } = await newService(parts.records, ref, watch.serviceIds);
  const late = new LateMarks();
  for (const { atMs } of records) if (atMs <= reachedMs) late.disturbed(ref, atMs);
  const stored = new StoredReadings(parts.telemetry, ref, Math.max(0, instantMs));
  const instant = newestMs > instantMs ? await stored.takeBefore(instantMs + 1) : [newest];
  // Channels of the judged instant may have been committed beside younger readings.
  if (instant.some((each) => each?.atMs === instantMs && hasMore(each, watch))) {
    late.reading(ref, instantMs);
  }
  const firstMs = newestMs > instantMs ? await stored.nextAtMs() : null;
  const isBehindService = firstMs !== null && firstMs < reachedMs;
  if (isBehindService) {
    late.reading(ref, firstMs);
    late.reading(ref, newestMs);
  }
  // Marks first: the checkpoint that follows knows of the records that they are about.
  await mark(parts.dirty, late);
  const services = records.filter(({ atMs }) => atMs > reachedMs);
  if (isBehindService || (firstMs === null && records.length === 0)) return;
  const base = instantMs < 0 ? null : { throughMs: instantMs, state };
  const result = await parts.replayer.replay({
    ref,
    settings: parts.settings.of(unit),
    base,
    throughMs: newestMs,
    services: eventsOf(services),
  });
  const power = new SitePower(parts.watches, [
    { ref, before: state.watch.power, after: result.state.watch.power },
  ]);
  const disturbed = power.disturbed();
  if (!(await parts.dirty.announce(disturbed))) {
    throw new Error('records cannot be written: what neighbours tell stays unjudged');
  }
  const isWritten = await parts.writer.write({
    checkpoints: [checkpointOf(ref, result.state, heardIds)],
    snapshots: result.snapshots.map((snapshot) => ({ ...ref, ...snapshot })),
    episodes: result.episodes.map((episode) => ({ ...ref, episode })),
    findings: [{ ...ref, changes: power.changes(ref, result.changes) }],
  });
  if (!isWritten) {
    throw new Error('records cannot be written: readings of before the restart stay unjudged');
  }
  watch.adopt(result.state, heardIds);
  parts.dirty.committed(disturbed);
}

/** Whether a stored reading has channels that its watch did not see. */
function hasMore({ channels }: Reading, watch: UnitWatch): boolean {
  const { instantChannels } = watch.state.watch;
  return Object.keys(channels).some((name) => !(name in instantChannels));
}

function nextAtMs(
  telemetry: Pick<TelemetryStore, 'readings'>,
  ref: UnitRef,
  fromMs: number,
): Promise<number | null> {
  return new StoredReadings(telemetry, ref, fromMs).nextAtMs();
}

/** Gives each site's track the reports that live readings can still be judged by. */
async function fillTracks({ fleet, watches, telemetry, tracks }: RestoreParts): Promise<void> {
  const sites = new Map<string, number>();
  for (const { site, id } of fleet.allWatched()) {
    const atMs = judgedThroughMs(watches.of(site, id).state.watch) ?? Infinity;
    sites.set(site, Math.min(sites.get(site) ?? Infinity, atMs));
  }
  for (const [site, judgedMs] of sites) {
    const station = { site, unit: WEATHER_UNIT };
    const oldestMs = await nextAtMs(telemetry, station, 0);
    if (oldestMs === null) continue;
    // Without a judged unit there is no telling where live readings will begin.
    const fromMs = judgedMs === Infinity ? 0 : Math.max(0, judgedMs - WEATHER_STALE_MS);
    const isComplete = oldestMs >= fromMs;
    const reports: Reading[] = [];
    const stored = new StoredReadings(telemetry, station, fromMs);
    for (;;) {
      const page = await stored.takeBefore(Infinity);
      if (page.length === 0) break;
      reports.push(...page);
    }
    tracks.fill(site, reports, isComplete ? Number.NEGATIVE_INFINITY : fromMs);
  }
}
