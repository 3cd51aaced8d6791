import type { WettingEpisode } from '@lineside/anomaly';
import { describe, expect, it } from 'vitest';
import { DRY, MINUTE_MS, ObservedUnit, outdoors } from './observed-unit.ts';

function ended(unit: ObservedUnit): readonly WettingEpisode[] {
  return unit.episodes.filter((each) => each.endMs !== null);
}

function weather(unit: ObservedUnit, rh: number, t: number, rain = 0): void {
  unit.weatherAt = (atMs) => {
    const reportMs = Math.floor((atMs - 10 * MINUTE_MS) / (5 * MINUTE_MS)) * 5 * MINUTE_MS;
    return outdoors(reportMs, { rh, t, rain });
  };
}

describe('damp air, a film after hours, and damp air again', () => {
  const unit = new ObservedUnit();
  weather(unit, 88, 10);
  unit.hold(60, [{ rh: 70, t: 13, tp: 13 }]);
  unit.hold(4 * 60, [{ rh: 86, t: 10, tp: 10 }]);
  const filmMs = unit.atMs;
  unit.hold(5 * 60, [{ rh: 88, t: 8, tp: 5 }]);
  unit.hold(5 * 60, [{ rh: 84, t: 10, tp: 11 }]);
  unit.hold(5 * 60, [{ rh: 55, t: 14, tp: 14 }]);

  it('are three wettings, each with its own source', () => {
    expect(ended(unit).map(({ source }) => source)).toEqual([
      'humid-weather',
      'condensation',
      'humid-weather',
    ]);
    const [damp, film, rest] = ended(unit);
    expect(Math.abs(film!.startMs - filmMs)).toBeLessThanOrEqual(30 * MINUTE_MS);
    expect(damp!.endMs).toBe(film!.startMs);
    expect(rest!.startMs).toBe(film!.endMs);
  });

  it('say how long the film took to dry, how cold the plate was, and how sure that is', () => {
    const film = ended(unit)[1]!;
    // Peak at the coldest, then four to six hours until the plate was dry.
    expect(film.evidence['dryingHours']).toBeGreaterThan(1);
    expect(film.evidence['dryingHours']).toBeLessThan(7);
    expect(film.evidence['lowestDewPointMarginKelvin']).toBeCloseTo(-1.1, 0);
    expect(film.evidence).toMatchObject({ outdoorReference: true, marginInferredFromAir: false });
    expect(film.evidence['sourceProbability']).toBeGreaterThan(0.9);
  });
});

describe('a film that follows damp air within two hours', () => {
  it('is one wetting with it', () => {
    const unit = new ObservedUnit();
    unit.hold(60, [DRY]);
    unit.hold(60, [{ rh: 86, t: 10, tp: 10 }]);
    unit.hold(3 * 60, [{ rh: 88, t: 8, tp: 5 }]);
    unit.hold(3 * 60, [DRY]);
    expect(ended(unit).map(({ source }) => source)).toEqual(['condensation']);
  });
});

describe('the source of a wetting', () => {
  it('is water that got in when vapour stays above that outside after rain', () => {
    const unit = new ObservedUnit();
    weather(unit, 70, 12);
    unit.hold(6 * 60, [{ rh: 68, t: 12.5 }]);
    weather(unit, 75, 12, 0.4);
    unit.hold(4 * 60, [{ rh: 96, t: 12.5 }]);
    weather(unit, 70, 12);
    unit.hold(4 * 60, [{ rh: 68, t: 12.5 }]);
    const [wetting] = ended(unit);
    expect(wetting).toMatchObject({ source: 'water-ingress' });
    expect(wetting!.evidence['meanExcessRatio']).toBeGreaterThan(2);
    expect(wetting!.evidence['greatestVapourPressureExcessPascals']).toBeGreaterThan(300);
    expect(wetting!.evidence['sourceProbability']).toBe(0.9);
  });

  it('is no water where the same excess stood before the rain: building air of a conduit', () => {
    const unit = new ObservedUnit();
    weather(unit, 80, 0);
    unit.hold(48 * 60, [{ rh: 70, t: 9 }], 5 * MINUTE_MS);
    weather(unit, 92, 1, 0.2);
    unit.hold(8 * 60, [{ rh: 83, t: 7 }], 5 * MINUTE_MS);
    weather(unit, 80, 0);
    unit.hold(5 * 60, [{ rh: 70, t: 9 }], 5 * MINUTE_MS);
    expect(ended(unit).map(({ source }) => source)).toEqual(['humid-weather']);
    expect(unit.changes).toEqual([]);
  });

  it('is no water while a humidity sensor sticks near 100 % without rain', () => {
    const unit = new ObservedUnit();
    weather(unit, 75, 9);
    unit.hold(6 * 60, [{ rh: 62, t: 10, tp: 10 }]);
    unit.hold(3 * 60, [{ rh: 99, t: 5, tp: 3.5 }]);
    unit.hold(6 * 60, [{ rh: 99, t: 11, tp: 12 }]);
    unit.hold(3 * 60, [{ rh: 60, t: 12, tp: 13 }]);
    expect(ended(unit).every(({ source }) => source !== 'water-ingress')).toBe(true);
    expect(unit.changes).toEqual([]);
  });

  it('is spray with the door open: water, and no alarm', () => {
    const unit = new ObservedUnit();
    weather(unit, 55, 21);
    unit.hold(6 * 60, [{ rh: 50, t: 22, door: 0 }]);
    unit.hold(2 * 60, [{ rh: 96, t: 22, door: 1 }]);
    unit.hold(3 * 60, [{ rh: 50, t: 22, door: 0 }]);
    expect(ended(unit).at(-1)).toMatchObject({ source: 'water-ingress' });
    expect(unit.changes).toEqual([]);
  });

  it('is less sure without an outdoor report, and less still without a plate sensor', () => {
    const sure = (withReport: boolean, plate: object): number => {
      const unit = new ObservedUnit();
      if (withReport) weather(unit, 88, 10);
      unit.hold(3 * 60, [{ rh: 88, t: 10, ...plate }]);
      unit.hold(3 * 60, [DRY]);
      expect(ended(unit).at(-1)).toMatchObject({ source: 'humid-weather' });
      return Number(ended(unit).at(-1)!.evidence['sourceProbability']);
    };
    const plate = { tp: 10 };
    expect(sure(true, plate)).toBeGreaterThan(sure(true, {}));
    expect(sure(true, {})).toBeGreaterThan(sure(false, plate));
    expect(sure(false, plate)).toBeGreaterThan(sure(false, {}));
  });
});

it('the slice of a month of wet nights stays small', () => {
  const unit = new ObservedUnit();
  weather(unit, 90, 8, 0.05);
  for (let night = 0; night < 32; night += 1) {
    unit.hold(10 * 60, [{ rh: 91.3, t: 8.21, tp: 6.43 }], 10 * MINUTE_MS);
    unit.hold(14 * 60, [{ rh: 57.7, t: 15.37, tp: 16.01 }], 10 * MINUTE_MS);
  }
  unit.hold(4 * 60, [{ rh: 91.3, t: 8.21, tp: 6.43 }], 10 * MINUTE_MS);
  expect(unit.state.wetness.open).not.toBeNull();
  expect(JSON.stringify(unit.state.wetness).length).toBeLessThan(1800);
});

describe('building air that thaws after a cold spell', () => {
  function thawAfter(insidePercent: number): ObservedUnit {
    const unit = new ObservedUnit();
    weather(unit, 60, -8);
    unit.hold(48 * 60, [{ rh: insidePercent, t: -4, tp: -4 }], 5 * MINUTE_MS);
    weather(unit, 80, 2, 0.1);
    unit.hold(6 * 60, [{ rh: 97, t: 5, tp: 4 }], 5 * MINUTE_MS);
    weather(unit, 60, 2);
    unit.hold(4 * 60, [{ rh: 45, t: 8, tp: 8 }], 5 * MINUTE_MS);
    return unit;
  }

  it('is condensation where the excess stood in dry weather, and no alarm', () => {
    const unit = thawAfter(80);
    expect(ended(unit).map(({ source }) => source)).toEqual(['condensation']);
    expect(unit.changes).toEqual([]);
  });

  it('is water that got in where there was no excess before', () => {
    expect(ended(thawAfter(45)).map(({ source }) => source)).toEqual(['water-ingress']);
  });
});

describe('near-saturated air about freezing', () => {
  it('wets dirt a little below 0 C, not where it is frozen', () => {
    const unit = new ObservedUnit();
    unit.hold(3 * 60, [{ rh: 92, t: -3, tp: -2 }]);
    expect(unit.episodes).toEqual([]);
    const thawMs = unit.atMs;
    unit.hold(3 * 60, [{ rh: 96, t: -0.6 }]);
    expect(unit.episodes[0]).toMatchObject({ startMs: thawMs, source: 'humid-weather' });
  });
});
