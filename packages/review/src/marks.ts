import type { Alarm } from '@lineside/alarms';
import type { FindingKind, WettingEpisode } from '@lineside/anomaly';
import { byPlace, comparePlaces, type UnitPlace } from './place.ts';

const DAY_MS = 86_400_000;

/** An episode of one unit. */
export interface UnitEpisode extends UnitPlace {
  readonly episode: WettingEpisode;
}

/** How far back a unit's habit of condensing is looked at. */
export const HABIT_BEFORE_MS: number = 28 * DAY_MS;

/**
 * Condensation on this many of the 28 days before is the unit's habit: one more says nothing of a
 * storm. A judgement, no source: dew comes to some compartments every clear night.
 */
const HABITUAL_DAYS = 3;

/** Alarms that can make a storm. */
const MAKING: ReadonlySet<FindingKind> = new Set(['moisture', 'leakage', 'phase-track']);

/** Alarms that belong to a storm which others have made. */
const JOINING: ReadonlySet<FindingKind> = new Set(['phase-loss', 'supply-loss', 'repeat-fuse']);

/** The moment a unit was touched. */
export interface StormMark extends UnitPlace {
  readonly atMs: number;
  readonly of: 'water' | 'condensation' | 'alarm';
  /** False: it belongs to a storm that others make. */
  readonly makes: boolean;
  /** When what it marks was over; null while a wetting goes on. */
  readonly endMs: number | null;
}

/** What may make or join a storm, oldest first; damp weather and habits are left out. */
export function marksOf(
  episodes: readonly UnitEpisode[],
  alarms: readonly Alarm[],
): readonly StormMark[] {
  const marks = [...episodeMarks(episodes), ...alarms.flatMap(alarmMark)];
  return marks.sort((one, other) => one.atMs - other.atMs || comparePlaces(one, other));
}

function episodeMarks(episodes: readonly UnitEpisode[]): readonly StormMark[] {
  const marks: StormMark[] = [];
  for (const own of episodesByUnit(episodes).values()) {
    const condensed: number[] = [];
    for (const { site, unit, episode } of own) {
      const { startMs, endMs, source } = episode;
      if (source === 'humid-weather') continue;
      const isHabit = source === 'condensation' && isHabitual(condensed, startMs);
      if (source === 'condensation') condensed.push(startMs);
      if (isHabit) continue;
      const of = source === 'water-ingress' ? 'water' : 'condensation';
      marks.push({ site, unit, atMs: startMs, of, makes: true, endMs });
    }
  }
  return marks;
}

/** Whether a unit that condensed at these times does so often enough for one more to be usual. */
function isHabitual(condensed: readonly number[], atMs: number): boolean {
  const days = new Set<number>();
  for (let at = condensed.length - 1; at >= 0; at--) {
    const beforeMs = atMs - (condensed[at] ?? 0);
    if (beforeMs > HABIT_BEFORE_MS) break;
    const day = Math.floor(beforeMs / DAY_MS);
    days.add(day);
  }
  return days.size >= HABITUAL_DAYS;
}

function alarmMark(alarm: Alarm): readonly StormMark[] {
  const makes = MAKING.has(alarm.kind);
  if (alarm.withdrawn || !(makes || isJoining(alarm))) return [];
  const { site, unit, raisedAtMs } = alarm;
  return [{ site, unit, atMs: raisedAtMs, of: 'alarm', makes, endMs: raisedAtMs }];
}

/** Whether an alarm belongs to the story of a storm: what the utility lost does not. */
function isJoining({ kind, causes }: Alarm): boolean {
  return JOINING.has(kind) && causes[0]?.cause !== 'utility-outage';
}

/** Whether a storm's review tells of the alarm. */
export function isOfStorms(alarm: Alarm): boolean {
  return !alarm.withdrawn && (MAKING.has(alarm.kind) || isJoining(alarm));
}

/** Episodes of each unit, oldest first. */
export function episodesByUnit(
  episodes: readonly UnitEpisode[],
): ReadonlyMap<string, readonly UnitEpisode[]> {
  return byPlace(episodes.toSorted((one, other) => one.episode.startMs - other.episode.startMs));
}
