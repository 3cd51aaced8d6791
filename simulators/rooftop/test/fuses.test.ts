import { describe, expect, it } from 'vitest';
import {
  DAY_MS,
  HOUR_MS,
  type Minute,
  minutesOf,
  START_MS,
  smallWorld,
  TRACK,
} from './small-world.ts';

const FLASH_OVER = {
  ...TRACK,
  depositMicrosiemens: 40,
  flashOvers: [{ notBeforeMs: START_MS + DAY_MS, aboveMilliamps: 4, opens: ['a', 'c'] }],
} as const;

const ON_24V = `
          supply: { volts: 480 }
          node: { supply: unit-24v }`;

function afterFlashOver(minutes: readonly Minute[]): Minute[] {
  return minutes.filter(({ truth }, index) => {
    const before = minutes[index - 1];
    return truth.openFuses.length > 0 && before !== undefined && before.truth.openFuses.length > 0;
  });
}

function totalAmps({ channels }: Minute): number {
  return channels!.ia! + channels!.ib! + channels!.ic!;
}

describe('open fuses', () => {
  it('leave every current and the leakage at zero, idle current included', () => {
    const world = smallWorld({ climate: 'humid-coast', faults: [FLASH_OVER], days: 12 });
    const minutes = [...minutesOf(world, 12)];
    const dead = afterFlashOver(minutes);
    expect(dead.length).toBeGreaterThan(100);
    for (const minute of dead) {
      expect(totalAmps(minute)).toBeLessThan(0.1);
      expect(minute.channels!.leak).toBeLessThan(0.0003);
      expect(minute.truth.openFuses).toEqual(['a', 'c']);
    }
    const alive = minutes.slice(0, 1000);
    expect(Math.min(...alive.map(totalAmps))).toBeGreaterThan(0.3);
  });

  it('silence a node that lives on the unit, and not one with a battery', () => {
    const options = { climate: 'humid-coast', faults: [FLASH_OVER], days: 12 } as const;
    const fed = afterFlashOver([...minutesOf(smallWorld({ ...options, unitYaml: ON_24V }), 12)]);
    const battery = afterFlashOver([...minutesOf(smallWorld(options), 12)]);
    expect(fed.length).toBeGreaterThan(100);
    expect(fed.every(({ channels }) => channels === null)).toBe(true);
    expect(battery.every(({ channels }) => channels !== null)).toBe(true);
  });

  it('are swapped by somebody who looks no further, and flash over again when wet', () => {
    const again = { ...FLASH_OVER.flashOvers[0], notBeforeMs: START_MS + 3 * DAY_MS };
    const fault = { ...FLASH_OVER, flashOvers: [FLASH_OVER.flashOvers[0], again] };
    const world = smallWorld({
      climate: 'humid-coast',
      faults: [fault],
      script: { fusesSwappedAfterMs: 6 * HOUR_MS },
      days: 20,
    });
    const minutes = [...minutesOf(world, 20)];
    const records = world.unit('test-site', 'rtu-01').takeServiceRecords();
    expect(records.map(({ line }) => line.action)).toEqual([
      'disconnect-opened',
      'fuses-replaced',
      'disconnect-closed',
      'disconnect-opened',
      'fuses-replaced',
      'disconnect-closed',
    ]);
    expect(records[1]!.line['phases']).toEqual(['a', 'c']);
    const opened = minutes.find(({ truth }) => truth.openFuses.length > 0)!;
    expect(records[0]!.atMs).toBe(opened.atMs + 6 * HOUR_MS);
    expect(records.map(({ atMs }) => atMs)).toEqual(
      records.map(({ atMs }) => atMs).sort((left, right) => left - right),
    );
    expect(minutes.at(-1)!.truth.openFuses).toEqual([]);
  });
});

describe('one open fuse of a running unit', () => {
  const fault = { kind: 'open-fuse', phase: 'c', notBeforeMs: START_MS + DAY_MS } as const;
  const minutes = [...minutesOf(smallWorld({ climate: 'humid-coast', faults: [fault] }), 2)];
  const at = minutes.findIndex(({ truth }) => truth.openFuses.length > 0);

  it('leaves that phase at zero and about 1.73 times the current in the other two', () => {
    const before = minutes[at]!.channels!;
    const after = minutes[at + 1]!.channels!;
    expect(after.ic).toBeLessThan(0.05);
    expect(after.ia! / before.ia!).toBeGreaterThan(1.6);
    expect(after.ia! / before.ia!).toBeLessThan(1.85);
    expect(after.ib! / after.ia!).toBeCloseTo(1, 1);
  });

  it('ends within minutes, when the protectors trip, with the idle current still there', () => {
    const later = minutes[at + 12]!;
    expect(later.truth.loadsRunning).toBe(0);
    expect(later.channels!.ia).toBeGreaterThan(0.1);
    expect(later.channels!.ic).toBeLessThan(0.05);
  });
});

describe('a repair', () => {
  it('ends the leakage for good, with the disconnect open while it is done', () => {
    const visitMs = START_MS + 6 * DAY_MS;
    const world = smallWorld({
      climate: 'humid-coast',
      faults: [{ ...TRACK, carbonAtStart: 0.4 }],
      script: {
        visits: [
          {
            atMs: visitMs,
            disconnectOpenMs: 2 * HOUR_MS,
            effects: ['track-removed'],
            lines: [{ action: 'contactor-replaced' }],
          },
        ],
        node: { doorSwitch: true },
      },
    });
    const minutes = [...minutesOf(world, 12)];
    const during = minutes.filter(
      ({ atMs }) => atMs > visitMs && atMs < visitMs + 2 * HOUR_MS - 60_000,
    );
    expect(Math.max(...during.map(totalAmps))).toBeLessThan(0.1);
    expect(during.every(({ channels }) => channels!.door === 1)).toBe(true);
    const leaks = (from: number, to: number): number =>
      Math.max(
        ...minutes
          .filter(({ atMs }) => atMs > from && atMs < to)
          .map(({ channels }) => 1000 * channels!.leak!),
      );
    expect(leaks(START_MS, visitMs)).toBeGreaterThan(5);
    expect(leaks(visitMs + 3 * HOUR_MS, START_MS + 12 * DAY_MS)).toBeLessThan(4);
    expect(minutes.at(-1)!.channels!.door).toBe(0);
  });
});
