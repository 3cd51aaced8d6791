import { describe, expect, it } from 'vitest';
import { MINUTE_MS, ObservedUnit, outdoors } from './observed-unit.ts';

function film(unit: ObservedUnit) {
  return unit.state.wetness.film;
}

describe('water on the plate', () => {
  it('comes within minutes on a plate below the dew point, and goes after it has warmed', () => {
    const unit = new ObservedUnit();
    unit.hold(30, [{ rh: 85, t: 10, tp: 5 }]);
    expect(film(unit).present).toBe(true);
    expect(film(unit).grams).toBeGreaterThan(2);
    unit.hold(2, [{ rh: 60, t: 12, tp: 13 }]);
    expect(film(unit).present).toBe(true);
    unit.hold(60, [{ rh: 60, t: 12, tp: 13 }]);
    expect(film(unit)).toMatchObject({ present: false, grams: 0 });
  });

  it('does not come in damp air on a plate two kelvins above its dew point, however long', () => {
    const unit = new ObservedUnit();
    unit.hold(3000, [{ rh: 88, t: 10, tp: 10 }]);
    expect(film(unit).present).toBe(false);
  });

  it('lasts on with sensors that read high over it, and teaches how much', () => {
    const unit = new ObservedUnit();
    unit.hold(180, [{ rh: 97, t: 10, tp: 8 }]);
    const before = film(unit).offsetKelvin;
    // Margins of 0.36 K.
    unit.hold(300, [{ rh: 97.5, t: 10, tp: 10 }]);
    expect(film(unit).present).toBe(true);
    expect(film(unit).offsetKelvin).toBeGreaterThan(before);
    expect(film(unit).offsetKelvin).toBeLessThan(0.36);
  });

  it('teaches no offset as frost, and is liquid only after the thaw', () => {
    const unit = new ObservedUnit();
    const before = film(unit).offsetKelvin;
    unit.hold(600, [{ rh: 100, t: -11, tp: -11.5 }]);
    expect(film(unit)).toMatchObject({ present: true, offsetKelvin: before });
    expect(unit.episodes).toEqual([]);
    unit.hold(60, [{ rh: 75, t: 2, tp: 0.5 }]);
    expect(unit.episodes.at(-1)).toMatchObject({ source: 'condensation' });
  });

  it('shows without a plate sensor where the air has lost vapour against the air outside', () => {
    const lost = new ObservedUnit();
    lost.weatherAt = (atMs) => outdoors(atMs - 10 * MINUTE_MS, { rh: 90, t: 11 });
    lost.hold(90, [{ rh: 96, t: 8 }]);
    expect(film(lost).present).toBe(true);
    const kept = new ObservedUnit();
    kept.weatherAt = (atMs) => outdoors(atMs - 10 * MINUTE_MS, { rh: 96, t: 8 });
    kept.hold(600, [{ rh: 96, t: 8 }]);
    expect(film(kept).present).toBe(false);
  });

  it('is not taken from a warm front that the air inside follows with a lag', () => {
    const unit = new ObservedUnit();
    // 0.8 K an hour at 94 %RH, some 50 Pa an hour, an hour's lag inside.
    const celsiusAt = (atMs: number) => 8 + (atMs - startMs) / (75 * MINUTE_MS);
    const startMs = unit.atMs;
    unit.weatherAt = (atMs) =>
      outdoors(atMs - 10 * MINUTE_MS, { rh: 94, t: celsiusAt(atMs + 50 * MINUTE_MS) });
    for (let minute = 0; minute < 300; minute += 1) {
      unit.hold(1, [{ rh: 94, t: celsiusAt(unit.atMs) }]);
    }
    expect(film(unit).present).toBe(false);
  });
});
