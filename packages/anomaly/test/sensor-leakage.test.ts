import type { ChannelValues } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { isRunning, live, livedUnit } from './lived-unit.ts';
import { HOUR_MS, MINUTE_MS, type ObservedUnit, raised } from './observed-unit.ts';

describe('a leakage channel that cannot be believed', () => {
  it('reads more than any phase carries, and no leakage is told of', () => {
    const unit = livedUnit(24);
    live(unit, 6, (channels) => ({ ...channels, leak: 9.5 }));
    expect(unit.story('sensor')).toEqual(['opened routine']);
    expect(raised(unit.of('sensor')[0]).headline).toMatch(/^Leakage sensor reads more/);
    expect(unit.of('leakage')).toEqual([]);
    live(unit, 8);
    expect(unit.story('sensor')).toEqual(['opened routine', 'closed']);
  });

  it('is told from a ground fault whose current a phase carries too', () => {
    const unit = livedUnit(24);
    live(unit, 2, (channels) => ({ ...channels, leak: 5, ia: (channels.ia ?? 0) + 4.6 }));
    expect(unit.of('sensor')).toEqual([]);
    expect(unit.of('leakage')).not.toEqual([]);
  });

  it('stands still for half a day while the compressor starts and stops', () => {
    const unit = livedUnit(72);
    const stuckMs = unit.atMs;
    live(unit, 14, (channels) => ({ ...channels, leak: 0.00087 }));
    const finding = raised(unit.of('sensor')[0]);
    expect(finding.evidence).toMatchObject({ channel: 'leakage', fault: 'leakage-flat' });
    expect(finding.atMs - stuckMs).toBeLessThan(13 * HOUR_MS);
  });

  it('may stand still where it always did: a coarse sensor in dry weather', () => {
    const unit = livedUnit(0);
    live(unit, 96, (channels) => ({ ...channels, leak: 0.001 }));
    expect(unit.of('sensor')).toEqual([]);
  });

  it('reads nothing for a day where the running unit used to leak', () => {
    const unit = livedUnit(96);
    live(unit, 30, (channels) => ({ ...channels, leak: 0 }));
    expect(raised(unit.of('sensor')[0]).evidence).toMatchObject({ fault: 'leakage-zero' });
  });

  it('may read nothing while only small loads run', () => {
    const unit = livedUnit(96);
    live(unit, 48, (channels, atMs) =>
      isRunning(atMs)
        ? { ...channels, ia: 6, ib: 6.1, ic: 5.9, leak: 0 }
        : { ...channels, leak: 0 },
    );
    expect(unit.of('sensor')).toEqual([]);
  });

  it('jumps to its end and stays there to the last digit, and no leakage is told of', () => {
    const unit = livedUnit(48);
    const jumpedMs = unit.atMs;
    live(unit, 3, (channels) => ({ ...channels, leak: 0.1 }));
    const finding = raised(unit.of('sensor')[0]);
    expect(finding.evidence).toMatchObject({ channel: 'leakage', fault: 'leakage-pegged' });
    expect(finding.atMs - jumpedMs).toBeLessThan(15 * MINUTE_MS);
    expect(unit.of('leakage')).toEqual([]);
  });

  it('tells a leak of that size, which moves with the line voltage, within five minutes', () => {
    const unit = livedUnit(48);
    const jumpedMs = unit.atMs;
    live(unit, 3, (channels) => ({ ...channels, leak: 0.1 + 0.5 * (channels.leak ?? 0) }));
    expect(unit.of('sensor')).toEqual([]);
    const finding = raised(unit.of('leakage')[0]);
    expect(finding.priority).toBe('emergency');
    expect(finding.atMs - jumpedMs).toBeLessThanOrEqual(5 * MINUTE_MS);
  });

  it('drifts by a milliampere a day, dry and humid alike, and no leakage is told of', () => {
    const unit = humidUnit();
    live(unit, 21 * 24, drifting(unit.atMs));
    expect(unit.story('sensor')).toEqual(['opened routine']);
    const finding = raised(unit.of('sensor')[0]);
    expect(finding.evidence).toMatchObject({ channel: 'leakage', fault: 'leakage-drifts' });
    expect(unit.of('leakage')).toEqual([]);
    live(unit, 48, humid);
    expect(unit.story('sensor')).toEqual(['opened routine', 'closed']);
  });

  it('still tells a leak that comes at once on top of a drift, and marks it', () => {
    const unit = humidUnit();
    const drifts = drifting(unit.atMs);
    live(unit, 10 * 24, drifts);
    live(unit, 1, (channels, atMs) => {
      const drifted = drifts(channels, atMs);
      return { ...drifted, leak: (drifted.leak ?? 0) + 0.02 };
    });
    const finding = raised(unit.of('leakage')[0]);
    expect(finding.priority).toBe('urgent');
    expect(finding.evidence).toMatchObject({ leakageSensorSuspect: true });
  });

  it('does not take for a drift what grows from day to day and answers the film', () => {
    const unit = humidUnit();
    const fromMs = unit.atMs;
    live(unit, 12 * 24, (channels, atMs) => {
      const { rh = 0, leak = 0 } = humid(channels);
      const track = (0.001 * (atMs - fromMs)) / (24 * HOUR_MS);
      return { ...channels, rh, leak: leak + track * (0.2 + 0.8 / (1 + Math.exp((75 - rh) / 4))) };
    });
    expect(unit.of('sensor')).toEqual([]);
    expect(unit.of('leakage')).not.toEqual([]);
  });

  it('has jumped by the same number at rest and under load, and the leak that was told is marked', () => {
    const unit = livedUnit(0);
    live(unit, 14 * 24, (channels, atMs) => erring(channels, () => 0, atMs));
    live(unit, 48, (channels, atMs) => erring(channels, () => 15, atMs));
    expect(raised(unit.of('leakage')[0]).priority).toBe('urgent');
    expect(raised(unit.of('sensor')[0]).evidence).toMatchObject({ fault: 'leakage-jumped' });
  });

  it('has not jumped where a current of that size adds at an angle to that of the load', () => {
    const unit = livedUnit(0);
    live(unit, 14 * 24, (channels, atMs) => erring(channels, () => 0, atMs));
    live(unit, 48, (channels, atMs) =>
      erring(channels, (now) => (isRunning(now) ? Math.hypot(15, 6) - 6 : 14.5), atMs),
    );
    expect(unit.of('leakage')).not.toEqual([]);
    expect(unit.of('sensor')).toEqual([]);
  });
});

/** Under load the sensor errs by 6 mA, at rest by next to nothing. */
function erring(
  channels: ChannelValues,
  addedMilliamps: (atMs: number) => number,
  atMs: number,
): ChannelValues {
  const own = (channels.leak ?? 0) + (isRunning(atMs) ? 0.004 : 0);
  return { ...humid(channels), leak: own + addedMilliamps(atMs) / 1000 };
}

function humidUnit(): ObservedUnit {
  const unit = livedUnit(0);
  live(unit, 96, humid);
  return unit;
}

/** Mornings in which a film conducts. */
function humid(channels: ChannelValues): ChannelValues {
  return { ...channels, rh: (channels.rh ?? 0) + 15 };
}

/** A zero that creeps by a milliampere a day. */
function drifting(fromMs: number): (channels: ChannelValues, atMs: number) => ChannelValues {
  return (channels, atMs) => {
    const drift = (0.001 * (atMs - fromMs)) / (24 * HOUR_MS);
    return { ...humid(channels), leak: (channels.leak ?? 0) + drift };
  };
}
