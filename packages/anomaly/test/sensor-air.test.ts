import { describe, expect, it } from 'vitest';
import { live, livedUnit } from './lived-unit.ts';
import { HOUR_MS, MINUTE_MS, raised } from './observed-unit.ts';

describe('a humidity or temperature channel that cannot be believed', () => {
  it('is not found in a unit that lives for two weeks', () => {
    expect(livedUnit(14 * 24).changes).toEqual([]);
  });

  it('is found when it repeats itself for a day while the air warms and cools, until it moves', () => {
    const unit = livedUnit(48);
    const stuckMs = unit.atMs;
    live(unit, 48, (channels) => ({ ...channels, rh: 50 }));
    expect(unit.story('sensor')).toEqual(['opened routine']);
    const finding = raised(unit.of('sensor')[0]);
    expect(finding.headline).toMatch(/^Humidity sensor stuck/);
    expect(finding.causes[0]!.cause).toBe('sensor-fault');
    expect(finding.atMs - stuckMs).toBeGreaterThanOrEqual(24 * HOUR_MS - 2 * MINUTE_MS);
    expect(finding.atMs - stuckMs).toBeLessThan(30 * HOUR_MS);
    live(unit, 9);
    expect(unit.story('sensor')).toEqual(['opened routine', 'closed']);
  });

  it('may repeat itself for as long as it likes while the air stands still', () => {
    const unit = livedUnit(48);
    live(unit, 96, (channels) => ({ ...channels, rh: 50, t: 14 }));
    expect(unit.of('sensor')).toEqual([]);
  });

  it('may stick near a hundred per cent for two days after condensation', () => {
    const unit = livedUnit(48);
    live(unit, 48, (channels) => ({ ...channels, rh: 99.6 }));
    expect(unit.of('sensor')).toEqual([]);
    live(unit, 36, (channels) => ({ ...channels, rh: 99.6 }));
    expect(raised(unit.of('sensor')[0]).evidence).toMatchObject({ fault: 'humidity-pinned' });
  });

  it('is found when it has stepped and stays off in dry weather, and closes when it is back', () => {
    const unit = livedUnit(72);
    live(unit, 48, (channels) => ({ ...channels, rh: (channels.rh ?? 0) + 14 }));
    const finding = raised(unit.of('sensor')[0]);
    expect(finding.evidence).toMatchObject({ channel: 'humidity', fault: 'humidity-shifted' });
    expect(finding.evidence['shiftPercent']).toBeGreaterThan(10);
    live(unit, 24);
    expect(unit.story('sensor')).toEqual(['opened routine', 'closed']);
  });

  it('is not judged by a step without an outdoor station: the weather may have turned', () => {
    const unit = livedUnit(0);
    unit.weatherAt = () => null;
    live(unit, 72);
    live(unit, 12, (channels) => ({ ...channels, rh: (channels.rh ?? 0) + 14 }));
    expect(unit.of('sensor')).toEqual([]);
  });

  it('is believed when it came free of a hundred per cent at once', () => {
    const unit = livedUnit(72);
    live(unit, 6, (channels) => ({ ...channels, rh: 99 }));
    live(unit, 48);
    expect(unit.of('sensor')).toEqual([]);
  });

  it('is believed when a step dies away within half a day, as after an open door', () => {
    const unit = livedUnit(72);
    const openedMs = unit.atMs;
    live(unit, 48, (channels, atMs) => {
      const rest = Math.exp(-(atMs - openedMs) / (4 * HOUR_MS));
      return { ...channels, rh: (channels.rh ?? 0) + 20 * rest };
    });
    expect(unit.of('sensor')).toEqual([]);
  });

  it('is found when the temperature jumps to and fro and the humidity knows nothing of it', () => {
    const unit = livedUnit(24);
    live(unit, 2, (channels, atMs) =>
      atMs % (6 * MINUTE_MS) === 0 ? { ...channels, t: 60 } : channels,
    );
    expect(raised(unit.of('sensor')[0]).evidence).toMatchObject({ fault: 'temperature-jumps' });
  });

  it('is believed when a door lets in cold air a few times', () => {
    const unit = livedUnit(24);
    live(unit, 6, (channels, atMs) =>
      atMs % (120 * MINUTE_MS) < 20 * MINUTE_MS ? { ...channels, t: 3, rh: 70 } : channels,
    );
    expect(unit.of('sensor')).toEqual([]);
  });
});
