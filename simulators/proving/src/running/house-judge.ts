import type { Alarm } from '@lineside/alarms';
import type { WettingEpisode } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import { BackTest, type ServiceEvent } from '@lineside/judging';
import type { ChannelValues, Reading } from '@lineside/readings';
import type { Judge, Judged } from './judge.ts';

interface UnitFound {
  readonly alarms: Alarm[];
  readonly episodes: WettingEpisode[];
}

/** Our own judgement of the units of one site together, by the back-test as it is shipped. */
export function houseJudges(units: readonly Unit[]): readonly Judge[] {
  const found = new Map<string, UnitFound>(
    units.map(({ id }) => [id, { alarms: [], episodes: [] }]),
  );
  const backTest = new BackTest({
    units,
    conditionEveryMs: null,
    sink: {
      alarm: ({ id }, alarm) => found.get(id)?.alarms.push(alarm),
      episode: ({ id }, episode) => found.get(id)?.episodes.push(episode),
      condition: () => undefined,
    },
  });
  let ended = false;
  return units.map((unit, index) => ({
    // The site's weather is told to each of its judges: once is enough.
    weather: (report: Reading) => {
      if (index === 0) backTest.weather(report);
    },
    reading: (atMs: number, channels: ChannelValues) =>
      backTest.reading(unit.site, unit.id, atMs, channels),
    service: (event: ServiceEvent) => backTest.service(unit.site, unit.id, event),
    end: (): Judged => {
      if (!ended) backTest.end();
      ended = true;
      return found.get(unit.id) ?? { alarms: [], episodes: [] };
    },
  }));
}
