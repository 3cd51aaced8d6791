import {
  conditionOf,
  judgedThroughMs,
  newWatchState,
  PRIORITIES,
  restoreWatchState,
  stepWatch,
  WATCH_STATE_MOST_BYTES,
  type WatchEvent,
  type WatchState,
} from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { eventsOf, history, judged } from './generated-history.ts';
import { DAY_MS, START_MS, unitLike } from './observed-unit.ts';

const unit = unitLike();
const RUNS = { numRuns: 40 };

function throughJson(state: WatchState): WatchState {
  const restored = restoreWatchState(JSON.parse(JSON.stringify(state)));
  if (restored === null) throw new Error('a state of our own was not restored');
  return restored;
}

function shifted(event: WatchEvent, byMs: number): WatchEvent {
  const atMs = event.atMs + byMs;
  if (event.type === 'service') return { ...event, atMs };
  const { weather } = event;
  return {
    ...event,
    atMs,
    weather: weather === null ? null : { ...weather, atMs: weather.atMs + byMs },
  };
}

/** Moves every number that is named as a time, wherever it sits. */
function withTimesMoved(value: unknown, byMs: number): unknown {
  return JSON.parse(
    JSON.stringify(value, (name, inner: unknown) =>
      typeof inner === 'number' && /(at|start|peak|end|since|onset|replacement)Ms$/i.test(name)
        ? inner + byMs
        : inner,
    ),
  );
}

describe('a watch over any history', () => {
  it('says the same twice, and leaves the state it was given alone', () => {
    fc.assert(
      fc.property(history, (stretches) => {
        const events = eventsOf(stretches);
        const first = judged(events, unit);
        const middle = judged(events.slice(0, events.length / 2), unit).state;
        const frozen = JSON.stringify(middle);
        judged(events.slice(events.length / 2), unit, middle);
        expect(JSON.stringify(middle)).toBe(frozen);
        expect(judged(events, unitLike())).toEqual(first);
      }),
      RUNS,
    );
  });

  it('goes on exactly where it was after a restart at any point', () => {
    fc.assert(
      fc.property(history, fc.array(fc.nat(), { maxLength: 5 }), (stretches, cuts) => {
        const events = eventsOf(stretches);
        const whole = judged(events, unit);
        const points = [...cuts.map((cut) => cut % (events.length + 1)), events.length];
        let state = newWatchState();
        const changes = [];
        const episodes = [];
        let from = 0;
        for (const to of points.toSorted((one, other) => one - other)) {
          const part = judged(events.slice(from, to), unit, throughJson(state));
          state = part.state;
          changes.push(...part.changes);
          episodes.push(...part.episodes);
          from = to;
        }
        expect({ state, changes, episodes }).toEqual(whole);
      }),
      RUNS,
    );
  });

  it('ignores readings that come again or too late, handing back the very same state', () => {
    fc.assert(
      fc.property(history, fc.nat(), fc.nat(), (stretches, where, back) => {
        const readings = eventsOf(stretches).filter((event) => event.type === 'reading');
        const at = where % readings.length;
        const again = readings[at - (back % (at + 1))]!;
        const before = judged(readings.slice(0, at + 1), unit).state;
        const step = stepWatch(before, again, unit);
        expect(step.state).toBe(before);
        expect(step.changes).toEqual([]);
        expect(step.episodes).toEqual([]);
      }),
      RUNS,
    );
  });

  it('shifts what it says with the times it is told, by whole days', () => {
    fc.assert(
      fc.property(history, fc.integer({ min: 1, max: 4000 }), (stretches, days) => {
        const events = eventsOf(stretches);
        const byMs = days * DAY_MS;
        const moved = judged(
          events.map((event) => shifted(event, byMs)),
          unit,
        );
        const { changes, episodes } = judged(events, unit);
        expect(moved.changes).toEqual(withTimesMoved(changes, byMs));
        expect(moved.episodes).toEqual(withTimesMoved(episodes, byMs));
      }),
      RUNS,
    );
  });

  it('opens, escalates and closes each kind in turn, upwards only', () => {
    fc.assert(
      fc.property(history, (stretches) => {
        const standing = new Map<string, number>();
        let lastMs = Number.NEGATIVE_INFINITY;
        for (const change of judged(eventsOf(stretches), unit).changes) {
          expect(change.atMs).toBeGreaterThanOrEqual(lastMs);
          lastMs = change.atMs;
          const before = standing.get(change.kind);
          if (change.change === 'closed') {
            expect(before).toBeDefined();
            standing.delete(change.kind);
            continue;
          }
          if (change.change === 'reconsidered') {
            expect(before).toBeDefined();
            continue;
          }
          const priority = PRIORITIES.indexOf(change.priority);
          if (change.change === 'opened') expect(before).toBeUndefined();
          else expect(priority).toBeGreaterThan(before!);
          standing.set(change.kind, priority);
        }
      }),
      RUNS,
    );
  });

  it('words every finding for a lock screen, with causes that sum to one', () => {
    fc.assert(
      fc.property(history, (stretches) => {
        for (const change of judged(eventsOf(stretches), unit).changes) {
          if (change.change === 'closed') continue;
          expect(change.headline.length).toBeLessThanOrEqual(90);
          const probabilities = change.causes.map((each) => each.probability);
          const sum = probabilities.reduce((total, each) => total + each, 0);
          expect(sum).toBeCloseTo(1, 1);
          expect(probabilities).toEqual(probabilities.toSorted((one, other) => other - one));
          expect(Object.values(change.evidence)).not.toContain(Number.NaN);
        }
      }),
      RUNS,
    );
  });

  it('keeps its state under the bound and its condition readable', () => {
    fc.assert(
      fc.property(history, (stretches) => {
        const events = eventsOf([...stretches, ...stretches, ...stretches]);
        const { state } = judged(events, unit);
        expect(JSON.stringify(state).length).toBeLessThanOrEqual(WATCH_STATE_MOST_BYTES);
        const condition = conditionOf(state, unit);
        expect(condition?.atMs).toBe(judgedThroughMs(state));
      }),
      RUNS,
    );
  });

  it('keeps wettings apart: none begins before the one before has ended', () => {
    fc.assert(
      fc.property(history, (stretches) => {
        const { episodes } = judged(eventsOf(stretches), unit);
        let endedMs = Number.NEGATIVE_INFINITY;
        for (const episode of episodes) {
          expect(episode.startMs).toBeGreaterThanOrEqual(endedMs);
          expect(episode.peakMs).toBeGreaterThanOrEqual(episode.startMs);
          expect(episode.wetHours).toBeGreaterThanOrEqual(0);
          if (episode.endMs !== null) {
            expect(episode.endMs).toBeGreaterThanOrEqual(episode.peakMs);
            endedMs = episode.endMs;
          }
        }
      }),
      RUNS,
    );
  });
});

it('a year of storms keeps the state under its bound', () => {
  const stormy = eventsOf(
    Array.from({ length: 365 }, (_, day) => ({
      minutes: 24 * 60,
      cadenceMinutes: 10,
      load: day % 2 === 0 ? ('running' as const) : ('idle' as const),
      milliamps: day % 5 === 0 ? 20 : 1,
      humidityPercent: day % 3 === 0 ? 40 : 97,
      celsius: 8,
      plateCelsius: 7,
      lineVolts: 'even' as const,
      outdoorHumidityPercent: 95,
      rainMillimetres: 1,
      snowMillimetres: 1,
      service: 'fuses-replaced',
      wildPerMille: 5,
    })),
  );
  const { state } = judged(stormy, unit);
  expect(JSON.stringify(state).length).toBeLessThanOrEqual(WATCH_STATE_MOST_BYTES);
  expect(throughJson(state)).toEqual(state);
  expect(judgedThroughMs(state)).toBeGreaterThan(START_MS + 364 * DAY_MS);
});
