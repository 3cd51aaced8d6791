import type { Alarm } from '@lineside/alarms';
import type { WettingEpisode } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import { BackTest, type ServiceEvent } from '@lineside/judging';
import type { ChannelValues, Reading } from '@lineside/readings';
import type { Judge, Judged } from './judge.ts';

/** Our own judgement of one unit, by the back-test as it is shipped. */
export class HouseJudge implements Judge {
  readonly #unit: Unit;
  readonly #backTest: BackTest;
  readonly #alarms: Alarm[] = [];
  readonly #episodes: WettingEpisode[] = [];

  constructor(unit: Unit) {
    this.#unit = unit;
    this.#backTest = new BackTest({
      units: [unit],
      conditionEveryMs: null,
      sink: {
        alarm: (_unit, alarm) => this.#alarms.push(alarm),
        episode: (_unit, episode) => this.#episodes.push(episode),
        condition: () => undefined,
      },
    });
  }

  weather(report: Reading): void {
    this.#backTest.weather(report);
  }

  reading(atMs: number, channels: ChannelValues): void {
    this.#backTest.reading(this.#unit.site, this.#unit.id, atMs, channels);
  }

  service(event: ServiceEvent): void {
    this.#backTest.service(this.#unit.site, this.#unit.id, event);
  }

  end(): Judged {
    this.#backTest.end();
    return { alarms: this.#alarms, episodes: this.#episodes };
  }
}
