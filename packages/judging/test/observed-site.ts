import type { Alarm } from '@lineside/alarms';
import type { Unit } from '@lineside/fleet';
import { BackTest } from '@lineside/judging';
import type { ChannelValues, Reading } from '@lineside/readings';
import { MINUTE_MS, START_MS, unitLike } from './observed-roof.ts';

/** What a unit does for so many minutes; `silent`: its node sends nothing. */
export type Stretch = readonly [minutes: number, does: 'idle' | 'runs' | 'dead' | 'silent'];

const CHANNELS: Readonly<Record<'idle' | 'runs' | 'dead', ChannelValues>> = {
  idle: { ia: 0.42, ib: 0.41, ic: 0.01, leak: 0.001 },
  runs: { ia: 17.2, ib: 17, ic: 17.3, leak: 0.001 },
  dead: { ia: 0.004, ib: 0.002, ic: 0.003, leak: 0 },
};

/** What a unit reads that lives through these stretches, one reading every so many minutes. */
export function lived(unit: string, stretches: readonly Stretch[], everyMinutes = 1): Reading[] {
  const readings: Reading[] = [];
  let from = 0;
  for (const [minutes, does] of stretches) {
    for (let minute = from; minute < from + minutes; minute += 1) {
      if (does === 'silent' || minute % everyMinutes !== 0) continue;
      const atMs = START_MS + minute * MINUTE_MS;
      readings.push({ site: 'harbour-mall', unit, atMs, channels: CHANNELS[does] });
    }
    from += minutes;
  }
  return readings;
}

export function unitsLike(changes: Readonly<Record<string, Partial<Unit>>>): Unit[] {
  return Object.entries(changes).map(([id, change]) => unitLike({ id, name: id, ...change }));
}

export function inOrder(readings: readonly Reading[]): Reading[] {
  return readings.toSorted((one, other) => one.atMs - other.atMs);
}

/** Alarms of lost power, from a back-test that is fed in the order given. */
export function lossesOf(units: readonly Unit[], readings: readonly Reading[]): readonly Loss[] {
  const losses: Loss[] = [];
  const test = new BackTest({
    units,
    conditionEveryMs: null,
    sink: {
      alarm: ({ id }, alarm) => {
        if (alarm.kind === 'supply-loss') losses.push({ unit: id, alarm });
      },
      episode: () => {},
      condition: () => {},
    },
  });
  for (const { site, unit, atMs, channels } of readings) test.reading(site, unit, atMs, channels);
  test.end();
  return losses.sort((one, other) => (one.unit < other.unit ? -1 : 1));
}

export interface Loss {
  readonly unit: string;
  readonly alarm: Alarm;
}

/** `rtu-01 urgent 66 disconnect-open-or-fuses-open`: each step with its minute and first cause. */
export function words({ unit, alarm }: Loss): string {
  const steps = alarm.priorities.map(({ priority, sinceMs, causes }) => {
    const minute = (sinceMs - START_MS) / MINUTE_MS;
    return `${priority} ${minute} ${causes[0]?.cause}`;
  });
  return [unit, ...steps].join(' ');
}
