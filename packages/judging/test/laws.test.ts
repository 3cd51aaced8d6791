import type { Alarm } from '@lineside/alarms';
import type { WatchEvent, WettingEpisode } from '@lineside/anomaly';
import {
  type JudgementState,
  newJudgementState,
  restoreJudgementState,
  stateThroughMs,
  UnitJudge,
  wettingsOpenFromMs,
} from '@lineside/judging';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { eventsOf, history } from '../../anomaly/test/generated-history.ts';
import { unitLike } from './observed-roof.ts';

const unit = unitLike();
const PLACE = { site: unit.site, unit: unit.id };
const RUNS = { numRuns: 60 };

interface Outcome {
  readonly alarms: readonly Alarm[];
  readonly episodes: readonly WettingEpisode[];
  readonly state: JudgementState;
}

function judged(events: readonly WatchEvent[], start: JudgementState): Outcome {
  const finished: Alarm[] = [];
  const episodes = new Map<number, WettingEpisode>();
  if (start.episode !== null) episodes.set(start.episode.startMs, start.episode);
  const judge = new UnitJudge(PLACE, start, {
    finished: (alarm) => finished.push(alarm),
    episode: (episode) => episodes.set(episode.startMs, episode),
  });
  for (const event of events) {
    if (event.type === 'service') judge.service(unit, event);
    else judge.reading(unit, event.atMs, event.channels, event.weather);
  }
  return {
    alarms: [...finished, ...judge.ledger.values()],
    episodes: [...episodes.values()],
    state: judge.state(),
  };
}

function throughJson(state: JudgementState): JudgementState {
  const restored = restoreJudgementState(JSON.parse(JSON.stringify(state)));
  if (restored === null) throw new Error('a state of our own was not restored');
  return restored;
}

const byStart = (one: WettingEpisode, other: WettingEpisode): number => one.startMs - other.startMs;
const byRaise = (one: Alarm, other: Alarm): number =>
  one.raisedAtMs - other.raisedAtMs || (one.kind < other.kind ? -1 : 1);

describe('judging on from a saved state', () => {
  it('says what judging from the first event says, wherever it was saved', () => {
    fc.assert(
      fc.property(history, fc.nat(), (stretches, cut) => {
        const events = eventsOf(stretches);
        const at = cut % (events.length + 1);
        const whole = judged(events, newJudgementState());
        const base = judged(events.slice(0, at), newJudgementState()).state;
        const rest = judged(events.slice(at), throughJson(base));
        expect(rest.state).toEqual(throughJson(whole.state));
        const ids = new Set(rest.alarms.map(({ id }) => id));
        expect(rest.alarms.toSorted(byRaise)).toEqual(
          throughList(whole.alarms.filter(({ id }) => ids.has(id))).toSorted(byRaise),
        );
        // What it does not speak of was over before.
        const throughMs = stateThroughMs(base) ?? -Infinity;
        for (const alarm of whole.alarms) {
          if (!ids.has(alarm.id)) expect(alarm.clearedAtMs).toBeLessThanOrEqual(throughMs);
        }
        const openFromMs = wettingsOpenFromMs(base) ?? -Infinity;
        expect(rest.episodes.filter(({ startMs }) => startMs >= openFromMs).sort(byStart)).toEqual(
          throughList(whole.episodes.filter(({ startMs }) => startMs >= openFromMs)).sort(byStart),
        );
      }),
      RUNS,
    );
  });

  it('refuses what is no state, and takes what is', () => {
    expect(restoreJudgementState(null)).toBeNull();
    expect(restoreJudgementState({ watch: {}, alarms: [] })).toBeNull();
    expect(restoreJudgementState({ ...newJudgementState(), alarms: [{}] })).toBeNull();
    expect(restoreJudgementState({ ...newJudgementState(), episode: 4 })).toBeNull();
    expect(restoreJudgementState(newJudgementState())).toEqual(newJudgementState());
  });
});

function throughList<T>(list: readonly T[]): T[] {
  return JSON.parse(JSON.stringify(list));
}
