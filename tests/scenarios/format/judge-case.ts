/** Judges a case the way a back-test does: silence comes from gaps. */
import type { Alarm } from '@lineside/alarms';
import {
  addWeather,
  type PowerSlice,
  WeatherTrack,
  type WettingEpisode,
  weatherFor,
} from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import {
  alarmWithNeighbours,
  BackTest,
  type JudgementState,
  newJudgementState,
  restoreJudgementState,
  UnitJudge,
} from '@lineside/judging';
import type { Reading } from '@lineside/readings';
import type { CaseSeries } from './case-series.ts';

/** What came of one unit. */
export interface UnitOutcome {
  readonly unit: string;
  /** In order of their first raise. */
  readonly alarms: readonly Alarm[];
  readonly episodes: readonly WettingEpisode[];
}

export function judgeSeries(units: readonly Unit[], series: CaseSeries): readonly UnitOutcome[] {
  const alarms = new Map<string, Alarm[]>(units.map(({ id }) => [id, []]));
  const episodes = new Map<string, WettingEpisode[]>(units.map(({ id }) => [id, []]));
  const test = new BackTest({
    units,
    sink: {
      alarm: ({ id }, alarm) => alarms.get(id)?.push(alarm),
      episode: ({ id }, episode) => episodes.get(id)?.push(episode),
      condition: () => {},
    },
    conditionEveryMs: null,
  });
  feed(test, series, units[0]?.site ?? '');
  test.end();
  return units.map(({ id }) => ({
    unit: id,
    alarms: (alarms.get(id) ?? []).sort((one, other) => one.raisedAtMs - other.raisedAtMs),
    episodes: (episodes.get(id) ?? []).sort((one, other) => one.startMs - other.startMs),
  }));
}

/** Reports first, then records, then readings of one time, as they would have come in. */
function feed(test: BackTest, { readings, weather, services }: CaseSeries, site: string): void {
  const reports = [...weather];
  const records = [...services];
  const giveThrough = (atMs: number): void => {
    giveUntil(reports, atMs, (report: Reading) => test.weather(report));
    giveUntil(records, atMs, ({ unit, ...record }) => test.service(site, unit, record));
  };
  for (const { unit, atMs, channels } of readings) {
    giveThrough(atMs);
    test.reading(site, unit, atMs, channels);
  }
  giveThrough(Number.POSITIVE_INFINITY);
}

function giveUntil<Event extends { readonly atMs: number }>(
  events: Event[],
  throughMs: number,
  give: (event: Event) => void,
): void {
  while ((events[0]?.atMs ?? Number.POSITIVE_INFINITY) <= throughMs) {
    const next = events.shift();
    if (next === undefined) return;
    give(next);
  }
}

/** Every reading once whole, and before that in two parts: what was there first wins. */
export function toldTwice(series: CaseSeries): CaseSeries {
  const readings = series.readings.flatMap((reading) => {
    const entries = Object.entries(reading.channels);
    const half = Math.ceil(entries.length / 2);
    return [entries.slice(0, half), entries.slice(half), entries].map((part) => ({
      ...reading,
      channels: Object.fromEntries(part) as Reading['channels'],
    }));
  });
  return { ...series, readings };
}

/** Judged to the middle, saved as JSON, restored and judged to the end. `silent` is left out. */
export function inTwoSessions(units: readonly Unit[], series: CaseSeries): readonly UnitOutcome[] {
  const power = new Map<string, PowerSlice>();
  const outcomes = units.map((unit) => {
    const alarms: Alarm[] = [];
    const episodes = new Map<number, WettingEpisode>();
    const newJudge = (state: JudgementState): UnitJudge =>
      new UnitJudge({ site: unit.site, unit: unit.id }, state, {
        finished: (alarm) => alarms.push(alarm),
        episode: (episode) => episodes.set(episode.startMs, episode),
      });
    const track = new WeatherTrack();
    for (const report of series.weather) addWeather(track, report);
    const readings = series.readings.filter((each) => each.unit === unit.id);
    const services = series.services.filter((each) => each.unit === unit.id);
    let judge = newJudge(newJudgementState());
    for (const [index, { atMs, channels }] of readings.entries()) {
      if (index === readings.length >> 1) {
        const state = saved(judge.state());
        const kept = new Set(state.alarms.map(({ id }) => id));
        alarms.push(...[...judge.ledger.values()].filter(({ id }) => !kept.has(id)));
        judge = newJudge(state);
      }
      giveUntil(services, atMs, (record) => judge.service(unit, record));
      judge.reading(unit, atMs, channels, weatherFor(track, atMs));
    }
    giveUntil(services, Number.POSITIVE_INFINITY, (record) => judge.service(unit, record));
    alarms.push(...judge.ledger.values());
    power.set(unit.id, judge.watch.power);
    return {
      unit: unit.id,
      alarms: alarms.sort((one, other) => one.raisedAtMs - other.raisedAtMs),
      episodes: [...episodes.values()].sort((one, other) => one.startMs - other.startMs),
    };
  });
  return outcomes.map((outcome) => besideNeighbours(outcome, power));
}

function besideNeighbours(
  outcome: UnitOutcome,
  power: ReadonlyMap<string, PowerSlice>,
): UnitOutcome {
  const own = power.get(outcome.unit);
  if (own === undefined) return outcome;
  const others = [...power].flatMap(([unit, slice]) => (unit === outcome.unit ? [] : [slice]));
  return {
    ...outcome,
    alarms: outcome.alarms.map((alarm) => alarmWithNeighbours(alarm, own, others, null)),
  };
}

function saved(state: JudgementState): JudgementState {
  const restored = restoreJudgementState(JSON.parse(JSON.stringify(state)));
  if (restored === null) throw new Error('a state that was just saved is not taken back');
  return restored;
}
