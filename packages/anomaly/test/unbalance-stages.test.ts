import type { ChannelValues } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { MINUTE_MS, ObservedUnit, raised, unitLike } from './observed-unit.ts';

type Amps = readonly [a: number, b: number, c: number];

const REST: Amps = [0.42, 0.41, 0.01];
/** A single-phase fan between B and C beside a blower of three phases. */
const FANS: Amps = [5, 6.5, 6.6];
const COMPRESSOR: Amps = [20, 21.4, 21.6];
const MINUTES_A_DAY = 1440;

/** Poles are not on file: only what is learned counts. */
function bareUnit(): ObservedUnit {
  return new ObservedUnit(unitLike({ contactors: [] }));
}

/** Repeatable noise within 1. */
function noise(index: number): number {
  return Math.sin(index * 12.9898) * Math.cos(index * 4.1414);
}

function channels(amps: Amps, index: number): ChannelValues {
  const noisy = (value: number, phase: number): number =>
    Math.max(0, value * (1 + 0.004 * noise(3 * index + phase)) + 0.01 * noise(7 * index + phase));
  return { ia: noisy(amps[0], 1), ib: noisy(amps[1], 2), ic: noisy(amps[2], 3) };
}

interface Day {
  /** What the loads draw at this minute of the day, changed from what is usual. */
  readonly change: (amps: Amps, minute: number, stage: 'rest' | 'fans' | 'compressor') => Amps;
  readonly minutes?: number;
  readonly everyMinutes?: number;
  readonly volts?: ChannelValues;
}

/** Fans all day from six to eight, the compressor for 17 of every 41 minutes of it. */
function liveDay(unit: ObservedUnit, { change, everyMinutes = 1, minutes, volts }: Day): void {
  for (let minute = 0; minute < (minutes ?? MINUTES_A_DAY); minute += everyMinutes) {
    const isOn = minute >= 360 && minute < 1200;
    const stage = !isOn ? 'rest' : minute % 41 < 17 ? 'compressor' : 'fans';
    const usual = { rest: REST, fans: FANS, compressor: COMPRESSOR }[stage];
    // The load follows the warmth of the day.
    const warmth = stage === 'rest' ? 1 : 1 + 0.08 * Math.sin((minute / MINUTES_A_DAY) * 6.28);
    const [a, b, c] = change(usual, minute, stage);
    const amps: Amps = [a * warmth, b * warmth, c * warmth];
    unit.read(channels(amps, unit.atMs / MINUTE_MS), volts ?? {});
    unit.atMs += everyMinutes * MINUTE_MS;
  }
}

const healthy: Day['change'] = (amps) => amps;

function live(unit: ObservedUnit, days: number, day: Day): void {
  for (let index = 0; index < days; index += 1) liveDay(unit, day);
}

/** By magnitude: one phase low, the other two half as much higher, as three wires have it. */
function lowPhase([a, b, c]: Amps, percent: number): Amps {
  const share = percent / 100;
  return [a * (1 - share), b * (1 + share / 2), c * (1 + share / 2)];
}

describe.each([1, 2])(
  'unbalance over the learned stage, a reading every %i min',
  (everyMinutes) => {
    it('is nothing on a unit whose single-phase fans make every stage uneven', () => {
      const unit = bareUnit();
      live(unit, 5, { change: healthy, everyMinutes });
      expect(unit.changes).toEqual([]);
    });

    it('is urgent from 10 % more on, after fifteen minutes of that load', () => {
      const unit = bareUnit();
      live(unit, 3, { change: healthy, everyMinutes });
      const sinceMs = unit.atMs + 360 * MINUTE_MS;
      liveDay(unit, { change: (amps) => lowPhase(amps, 11), everyMinutes });
      const [first] = unit.of('unbalance');
      expect(raised(first).priority).toBe('urgent');
      expect(raised(first).atMs - sinceMs).toBeLessThanOrEqual(30 * MINUTE_MS);
      expect(raised(first).headline).toMatch(/phase A lowest$/);
      expect(raised(first).evidence).toMatchObject({ normalForThisStageLearned: true });
    });

    it('is routine from 5 % more on and nothing below 4 %', () => {
      const unit = bareUnit();
      live(unit, 3, { change: healthy, everyMinutes });
      live(unit, 3, { change: (amps) => lowPhase(amps, 3.5), everyMinutes });
      expect(unit.changes).toEqual([]);
      liveDay(unit, { change: (amps) => lowPhase(amps, 6.5), everyMinutes });
      expect(unit.story('unbalance')).toEqual(['opened routine']);
    });

    it('is nothing where other phases deviate than usual, and by no more (NEMA MG 1)', () => {
      const unit = bareUnit();
      live(unit, 3, { change: healthy, everyMinutes });
      // From 4.8 % with phase A low to 2.9 % with phase A high: 7.6 points of A.
      const turned: Day['change'] = (amps, _minute, stage) =>
        stage === 'compressor' ? [21.6, 20.5, 20.9] : amps;
      live(unit, 3, { change: turned, everyMinutes });
      expect(unit.of('unbalance')).toEqual([]);
    });

    it('is nothing on a fan of less than 2 A, with an outlet beside it or without', () => {
      const contactors = [
        { name: 'C1', load: 'compressor 1', poles: 3, flaAmps: 24 },
        { name: 'C2', load: 'blower', poles: 3, flaAmps: 2 },
      ];
      const unit = new ObservedUnit(unitLike({ contactors }));
      const fan =
        (outletAmps: number): Day['change'] =>
        (amps, _minute, stage) =>
          stage === 'fans' ? [1.68, 1.69 + outletAmps, 1.7] : amps;
      live(unit, 3, { change: fan(0), everyMinutes });
      live(unit, 1, { change: fan(1.4), everyMinutes });
      expect(unit.of('unbalance')).toEqual([]);
    });

    it.each([1, 3, 7, 12])('is nothing while an outlet draws %i A in working hours', (amps) => {
      const unit = bareUnit();
      live(unit, 3, { change: healthy, everyMinutes });
      const plugged: Day['change'] = ([a, b, c], minute) =>
        minute >= 425 && minute < 1010 && minute % 130 < 85 ? [a, b, c + amps] : [a, b, c];
      live(unit, 14, { change: plugged, everyMinutes });
      expect(unit.of('unbalance')).toEqual([]);
      expect(unit.of('phase-loss')).toEqual([]);
    });

    it.each([2, 6, 10])('is nothing while an outlet draws %i A from two phases', (amps) => {
      const unit = bareUnit();
      live(unit, 3, { change: healthy, everyMinutes });
      // Beside a motor's current the magnitudes of the two do not rise alike.
      const plugged: Day['change'] = ([a, b, c], minute, stage) => {
        if (minute < 425 || minute >= 1010 || minute % 130 >= 85) return [a, b, c];
        return stage === 'rest' ? [a + amps, b + amps, c] : [a + 0.55 * amps, b + 0.98 * amps, c];
      };
      live(unit, 14, { change: plugged, everyMinutes });
      expect(unit.of('unbalance').filter((each) => raised(each).priority === 'urgent')).toEqual([]);
      expect(unit.of('phase-loss')).toEqual([]);
    });
  },
);

describe('the cause of an unbalance', () => {
  const even = { vab: 600, vbc: 601, vca: 599 };
  const uneven = { vab: 594, vbc: 606, vca: 603 };
  const poleBy =
    (percent: number): Day['change'] =>
    (amps, _minute, stage) =>
      stage === 'compressor' ? lowPhase(amps, percent) : amps;
  const pole = poleBy(14);
  const supply: Day['change'] = (amps, _minute, stage) =>
    stage === 'rest' ? amps : lowPhase(amps, 8);

  function firstCause(change: Day['change'], before: ChannelValues, after: ChannelValues): string {
    const unit = bareUnit();
    live(unit, 3, { change: healthy, volts: before });
    live(unit, 2, { change, volts: after });
    const raisedByCurrent = unit.of('unbalance').map((each) => raised(each));
    return raisedByCurrent.at(-1)?.causes[0]?.cause ?? 'none';
  }

  it('is a pole or connection where only one load shows it, and it grew', () => {
    const unit = bareUnit();
    live(unit, 3, { change: healthy });
    for (const percent of [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]) {
      live(unit, 1, { change: poleBy(percent) });
    }
    expect(unit.story('unbalance')).toEqual(['opened routine', 'escalated urgent']);
    for (const each of unit.of('unbalance')) {
      expect(raised(each).causes[0]?.cause).toBe('worn-pole-or-connection');
    }
  });

  it('is a pole or connection where the voltages are even, after the fuses or to ground', () => {
    expect(firstCause(pole, even, even)).toBe('worn-pole-or-connection');
    const toGround = { van: 346, vbn: 347, vcn: 346 };
    expect(firstCause(pole, toGround, toGround)).toBe('worn-pole-or-connection');
  });

  it('is the supply where it is far over the limit at once, and nothing else tells', () => {
    expect(firstCause(pole, {}, {})).toBe('supply-voltage');
    const low = { van: 346, vbn: 333, vcn: 346 };
    expect(firstCause(pole, { van: 346, vbn: 347, vcn: 346 }, low)).toBe('supply-voltage');
  });

  it('is the supply where every load shows it, or the voltages do', () => {
    expect(firstCause(supply, {}, {})).toBe('supply-voltage');
    expect(firstCause(supply, even, uneven)).toBe('supply-voltage');
  });

  it('is the supply where a lightly loaded motor answers more than tenfold', () => {
    const part: Day['change'] = (amps, _minute, stage) =>
      stage === 'rest' ? amps : lowPhase(amps, 14);
    expect(firstCause(part, even, uneven)).toBe('supply-voltage');
  });
});

describe('a single-phase fan beside two compressors', () => {
  const FAN_ALONE: ChannelValues = { ia: 3.2, ib: 3.2, ic: 0.2 };
  const ONE: ChannelValues = { ia: 25.1, ib: 25.1, ic: 21.4 };
  const TWO: ChannelValues = { ia: 46.7, ib: 46.9, ic: 43.1 };

  it('makes one compressor more uneven than two, and neither is a fault', () => {
    const unit = bareUnit();
    for (let cycle = 0; cycle < 60; cycle += 1) {
      unit.hold(10, [FAN_ALONE]);
      unit.hold(20, [ONE]);
      unit.hold(20, [TWO]);
    }
    expect(unit.of('unbalance')).toEqual([]);
  });

  it('is no three-phase load while controls and a heater draw on the third phase', () => {
    const unit = bareUnit();
    unit.hold(240, [{ ia: 3.35, ib: 2.65, ic: 0.8 }]);
    unit.hold(240, [{ ia: 3.63, ib: 2.65, ic: 1.08 }]);
    expect(unit.of('unbalance')).toEqual([]);
  });

  it('is no added load that has gone when a reading caught its inrush', () => {
    const unit = bareUnit();
    for (let cycle = 0; cycle < 20; cycle += 1) {
      unit.hold(20, [ONE]);
      unit.hold(20, [TWO]);
    }
    unit.hold(1, [{ ia: 36, ib: 36, ic: 21.4 }]);
    unit.hold(120, [ONE]);
    unit.hold(120, [TWO]);
    expect(unit.of('unbalance')).toEqual([]);
  });

  it('is no three-phase load while the control transformer lends the third phase current', () => {
    const unit = bareUnit();
    const warmer = { ia: 3.7, ib: 4.4, ic: 0.8 };
    unit.hold(120, [{ ia: 3.3, ib: 4.2, ic: 0.9 }]);
    unit.hold(120, [warmer]);
    expect(unit.of('unbalance')).toEqual([]);
  });

  it('has a stage learned though its first reading was an inrush', () => {
    const unit = bareUnit();
    unit.hold(1, [{ ia: 33, ib: 33, ic: 15.4 }]);
    unit.hold(300, [{ ia: 25.1, ib: 25.1, ic: 21.4 }]);
    expect(unit.of('unbalance')).toEqual([]);
  });
});

describe('a worn pole', () => {
  it('is found as it grows over weeks, and does not come and go with each pull-in', () => {
    const unit = bareUnit();
    live(unit, 4, { change: healthy });
    for (let day = 0; day < 28; day += 1) {
      const contactOf = (minute: number): number => 1 + 0.5 * noise(Math.floor(minute / 41) + day);
      liveDay(unit, {
        change: (amps, minute, stage) =>
          stage === 'compressor' ? lowPhase(amps, 0.6 * day * contactOf(minute)) : amps,
      });
    }
    const story = unit.story('unbalance');
    expect(story).toContain('escalated urgent');
    expect(story.filter((each) => each.startsWith('opened')).length).toBeLessThanOrEqual(2);
  });
});

describe('what a current sensor does', () => {
  it.each([0.5, 0.7, 0.8])('slipped off to a share of %d is never unbalance', (ratio) => {
    const unit = bareUnit();
    live(unit, 3, { change: healthy });
    const low: Day['change'] = ([a, b, c]) => [ratio * a, b, c];
    liveDay(unit, { change: (amps, minute, s) => (minute > 700 ? low(amps, minute, s) : amps) });
    live(unit, 2, { change: low });
    expect(unit.of('unbalance')).toEqual([]);
    expect(unit.of('phase-loss')).toEqual([]);
    expect(unit.story('sensor')).toEqual(['opened routine']);
  });
});
