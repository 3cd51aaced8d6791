import type { Alarm } from '@lineside/alarms';
import { addWeather, WeatherTrack, type WettingEpisode, weatherFor } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import type { Reading } from '@lineside/readings';
import { type JudgementState, newJudgementState } from './judgement-state.ts';
import { mergeChannels } from './merge-channels.ts';
import { compareServices, type ServiceEvent } from './service-event.ts';
import { UnitJudge } from './unit-judge.ts';

/** All that is known of one unit, in any order. */
export interface UnitHistory {
  readonly unit: Unit;
  /** Of one time the first value of a channel wins. */
  readonly readings: readonly Reading[];
  /** Outdoor reports of its site; no more than a weather track holds. */
  readonly weather: readonly Reading[];
  readonly services: readonly ServiceEvent[];
}

export interface JudgedHistory {
  /** In order of `raisedAtMs`. */
  readonly alarms: readonly Alarm[];
  /** In order of `startMs`. */
  readonly episodes: readonly WettingEpisode[];
  readonly state: JudgementState;
}

/** Judges a whole history that fits in memory. `silent` is not among its alarms: nobody listens. */
export function judgeHistory({ unit, readings, weather, services }: UnitHistory): JudgedHistory {
  const alarms: Alarm[] = [];
  const episodes = new Map<number, WettingEpisode>();
  const judge = new UnitJudge({ site: unit.site, unit: unit.id }, newJudgementState(), {
    finished: (alarm) => alarms.push(alarm),
    episode: (episode) => episodes.set(episode.startMs, episode),
  });
  const track = new WeatherTrack();
  for (const report of weather) addWeather(track, report);
  const left = services.toSorted(compareServices);
  for (const { atMs, channels } of instantsOf(readings)) {
    while ((left[0]?.atMs ?? Infinity) <= atMs) judgeNext(judge, unit, left);
    judge.reading(unit, atMs, channels, weatherFor(track, atMs));
  }
  while (left.length > 0) judgeNext(judge, unit, left);
  return {
    alarms: [...alarms, ...judge.ledger.values()].sort((a, b) => a.raisedAtMs - b.raisedAtMs),
    episodes: [...episodes.values()].sort((a, b) => a.startMs - b.startMs),
    state: judge.state(),
  };
}

function judgeNext(judge: UnitJudge, unit: Unit, services: ServiceEvent[]): void {
  const next = services.shift();
  if (next !== undefined) judge.service(unit, next);
}

/** One reading for each event time, in order. */
function instantsOf(readings: readonly Reading[]): readonly Reading[] {
  const byTime = new Map<number, Reading>();
  for (const reading of readings) {
    const first = byTime.get(reading.atMs);
    const channels =
      first === undefined ? reading.channels : mergeChannels(first.channels, reading.channels);
    byTime.set(reading.atMs, first === undefined ? reading : { ...first, channels });
  }
  return [...byTime.values()].sort((one, other) => one.atMs - other.atMs);
}
