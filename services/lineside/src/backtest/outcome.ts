import type { Alarm } from '@lineside/alarms';
import type { UnitCondition, WettingEpisode } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import type { BackTestSink } from '@lineside/judging';
import { ExternalSort, type SortLimits } from './external-sort.ts';
import { alarmLine, conditionLine, episodeLine } from './outcome-lines.ts';
import type { TemporaryFiles } from './temporary-files.ts';

/** Collects what a back-test tells, in any amount, and gives it back in order of time. */
export class Outcome implements BackTestSink {
  readonly alarms: ExternalSort;
  readonly episodes: ExternalSort;
  readonly conditions: ExternalSort;

  constructor(temporary: TemporaryFiles, limits: SortLimits) {
    this.alarms = new ExternalSort(temporary, limits);
    this.episodes = new ExternalSort(temporary, limits);
    this.conditions = new ExternalSort(temporary, limits);
  }

  readonly alarm = (_unit: Unit, alarm: Alarm): void => {
    const { site, unit, kind, raisedAtMs } = alarm;
    const tie = tieOf(site, unit, kind);
    this.alarms.push({ atMs: raisedAtMs, tie, text: alarmLine(alarm) });
  };

  readonly episode = (unit: Unit, episode: WettingEpisode): void => {
    const tie = tieOf(unit.site, unit.id);
    this.episodes.push({ atMs: episode.startMs, tie, text: episodeLine(unit, episode) });
  };

  readonly condition = (unit: Unit, atMs: number, condition: UnitCondition): void => {
    const tie = tieOf(unit.site, unit.id);
    this.conditions.push({ atMs, tie, text: conditionLine(unit, atMs, condition) });
  };

  close(): void {
    for (const sort of [this.alarms, this.episodes, this.conditions]) sort.close();
  }
}

/** A space sorts before everything that an id may have, so that ids compare as wholes. */
function tieOf(...ids: readonly string[]): string {
  return ids.join(' ');
}
