import { describe, expect, it } from 'vitest';
import { MINUTE_MS, ObservedUnit, raised } from './observed-unit.ts';

type Amps = readonly [a: number, b: number, c: number];

/** Controls between A and B, a crankcase heater between B and C. */
const REST: Amps = [0.3, 0.5, 0.35];
const MINUTES_A_DAY = 1440;

function noise(index: number): number {
  return Math.sin(index * 12.9898) * Math.cos(index * 4.1414);
}

interface Nights {
  readonly days: number;
  readonly everyMinutes: number;
  /** 0 on a dry night, 1 where the film is wet. */
  readonly wetOn: (day: number) => boolean;
  readonly amps: (wet: number, celsius: number) => Amps;
}

/** Air cools at night; on a wet night its film goes from 50 to 95 %RH and back. */
function live(unit: ObservedUnit, { days, everyMinutes, wetOn, amps }: Nights): void {
  for (let day = 0; day < days; day += 1) {
    for (let minute = 0; minute < MINUTES_A_DAY; minute += everyMinutes) {
      const night = Math.max(0, Math.sin(((minute / MINUTES_A_DAY) * 2 - 0.25) * Math.PI));
      const celsius = 12 - 9 * night;
      const wet = wetOn(day) ? night : 0;
      const [a, b, c] = amps(wet, celsius);
      const index = unit.atMs / MINUTE_MS;
      const read = (value: number, phase: number): number =>
        Math.round(100 * Math.max(0, value + 0.008 * noise(3 * index + phase))) / 100;
      unit.read(
        { ia: read(a, 1), ib: read(b, 2), ic: read(c, 3) },
        { rh: 50 + 45 * wet, t: celsius },
      );
      unit.atMs += everyMinutes * MINUTE_MS;
    }
  }
}

/** Most nights are dry, so that the cold of the night is known without water. */
const sometimes = (day: number): boolean => day >= 6 && day % 2 === 0;

describe.each([1, 2])('a track from pole to pole, a reading every %i min', (everyMinutes) => {
  it('is found in an extra below what a single reading tells', () => {
    const unit = new ObservedUnit();
    const amps = (wet: number): Amps => [REST[0] + 0.035 * wet, REST[1] + 0.035 * wet, REST[2]];
    live(unit, { days: 20, everyMinutes, wetOn: sometimes, amps });
    const finding = raised(unit.of('phase-track')[0]);
    expect(finding.priority).toBe('routine');
    expect(finding.evidence).toMatchObject({ phases: 'ab', side: 'line' });
    expect(finding.headline).toMatch(/^0\.0[1-9] A between phases A and B at rest/);
    expect(unit.of('phase-track')).toHaveLength(1);
  });

  it('is not a heater that draws more in the cold', () => {
    const unit = new ObservedUnit();
    const amps = (_wet: number, celsius: number): Amps => {
      const warmer = 0.012 * (12 - celsius);
      return [REST[0], REST[1] + warmer * REST[2], REST[2] + warmer * REST[2]];
    };
    live(unit, { days: 30, everyMinutes, wetOn: sometimes, amps });
    expect(unit.changes.filter(({ kind }) => kind === 'phase-track')).toEqual([]);
  });

  it('is found by day and night as it follows the film without a step', () => {
    const unit = new ObservedUnit();
    const amps = (wet: number): Amps => [
      REST[0] + 0.6 * wet ** 3,
      REST[1] + 0.6 * wet ** 3,
      REST[2],
    ];
    live(unit, { days: 20, everyMinutes, wetOn: sometimes, amps });
    expect(unit.story('phase-track')).toEqual(['opened routine', 'escalated urgent']);
  });

  it('is not a heater that a thermostat turns on in cool and damp nights', () => {
    const unit = new ObservedUnit();
    const amps = (_wet: number, celsius: number): Amps => {
      const heater = celsius < 6 ? 0.3 : 0;
      return [REST[0] + heater, REST[1] + heater, REST[2]];
    };
    live(unit, { days: 20, everyMinutes, wetOn: (day) => day % 2 === 0, amps });
    const damp = new ObservedUnit();
    live(damp, {
      days: 20,
      everyMinutes,
      wetOn: sometimes,
      amps: (wet) => (wet > 0.7 ? [REST[0] + 0.3, REST[1] + 0.3, REST[2]] : REST),
    });
    expect([...unit.of('phase-track'), ...damp.of('phase-track')]).toEqual([]);
  });

  it('is found where every night is wet, as what nights before it did not carry', () => {
    const unit = new ObservedUnit();
    const wetOn = (): boolean => true;
    live(unit, { days: 14, everyMinutes, wetOn, amps: () => REST });
    const amps = (wet: number): Amps => [
      REST[0] + 0.08 * wet ** 2,
      REST[1] + 0.08 * wet ** 2,
      REST[2],
    ];
    live(unit, { days: 6, everyMinutes, wetOn, amps });
    expect(unit.story('phase-track')).toEqual(['opened routine']);
    const heater = new ObservedUnit();
    live(heater, { days: 14, everyMinutes, wetOn, amps: () => REST });
    live(heater, {
      days: 6,
      everyMinutes,
      wetOn,
      amps: (wet) => (wet > 0.7 ? [REST[0] + 0.12, REST[1] + 0.12, REST[2]] : REST),
    });
    expect(heater.of('phase-track')).toEqual([]);
  });

  it('is not a small fan that runs in cycles, whatever its share of the hour', () => {
    const unit = new ObservedUnit();
    const amps = (wet: number): Amps => {
      const minute = (unit.atMs / MINUTE_MS) % 40;
      const isOn = minute < (wet > 0.5 ? 32 : 16);
      return isOn ? [REST[0] + 1.2, REST[1] + 1.2, REST[2]] : REST;
    };
    live(unit, { days: 20, everyMinutes, wetOn: sometimes, amps });
    expect(unit.of('phase-track')).toEqual([]);
  });

  it('is not told again as the unbalance that it makes of a small fan', () => {
    const unit = new ObservedUnit();
    const fan = { ia: 2.9, ib: 2.95, ic: 2.9 };
    for (let cycle = 0; cycle < 10; cycle += 1) unit.hold(30 / everyMinutes, [fan]);
    const amps = (wet: number): Amps => [REST[0] + 0.3 * wet, REST[1] + 0.3 * wet, REST[2]];
    live(unit, { days: 20, everyMinutes, wetOn: sometimes, amps });
    expect(unit.story('phase-track')).toEqual(['opened routine']);
    unit.hold(120, [{ ia: 3.2, ib: 3.25, ic: 2.9 }]);
    expect(unit.of('unbalance')).toEqual([]);
  });

  it('is not what one phase alone carries, nor all three', () => {
    const one = new ObservedUnit();
    live(one, {
      days: 20,
      everyMinutes,
      wetOn: sometimes,
      amps: (wet) => [REST[0] + 0.1 * wet, REST[1], REST[2]],
    });
    const all = new ObservedUnit();
    live(all, {
      days: 20,
      everyMinutes,
      wetOn: sometimes,
      amps: (wet) => [REST[0] + 0.1 * wet, REST[1] + 0.1 * wet, REST[2] + 0.1 * wet],
    });
    expect([...one.of('phase-track'), ...all.of('phase-track')]).toEqual([]);
  });
});
