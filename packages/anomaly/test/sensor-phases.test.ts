import type { ChannelValues } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { isRunning, live, livedUnit } from './lived-unit.ts';
import { HOUR_MS, MINUTE_MS, raised } from './observed-unit.ts';

function scaled(channels: ChannelValues, a: number, b: number, c: number): ChannelValues {
  const { ia = 0, ib = 0, ic = 0 } = channels;
  return { ...channels, ia: a * ia, ib: b * ib, ic: c * ic };
}

describe('a phase current sensor that cannot be believed', () => {
  it('reads nothing while the other two carry on', () => {
    const unit = livedUnit(24);
    live(unit, 2, (channels) => ({ ...channels, ib: 0 }));
    const finding = raised(unit.of('sensor')[0]);
    expect(finding.headline).toMatch(/^Current sensor of phase B reads nothing/);
    live(unit, 6);
    expect(unit.story('sensor')).toEqual(['opened routine', 'closed']);
  });

  it('reads low by one ratio, running and at rest', () => {
    const unit = livedUnit(24 + 0.5);
    expect(isRunning(unit.atMs)).toBe(true);
    const slippedMs = unit.atMs;
    live(unit, 12, (channels) => scaled(channels, 0.7, 1, 1));
    const finding = raised(unit.of('sensor')[0]);
    expect(finding.evidence).toMatchObject({ channel: 'phase-a', fault: 'phase-low' });
    expect(finding.atMs - slippedMs).toBeLessThan(7 * HOUR_MS);
    expect(unit.of('unbalance')).toEqual([]);
  });

  it('reads low by more than any connection could make it, and no unbalance is told of', () => {
    const unit = livedUnit(24 + 0.5);
    live(unit, 12, (channels) => scaled(channels, 1, 0.4, 1));
    expect(raised(unit.of('sensor')[0]).evidence).toMatchObject({ channel: 'phase-b' });
    expect(unit.of('unbalance')).toEqual([]);
  });

  it('is found as well when it slipped at rest', () => {
    const unit = livedUnit(24);
    expect(isRunning(unit.atMs)).toBe(false);
    live(unit, 30, (channels) => scaled(channels, 0.7, 1, 1));
    expect(raised(unit.of('sensor')[0]).evidence).toMatchObject({ seenAtRest: true });
  });

  it('is told from an open fuse: a motor draws 1.73 times as much on the other two', () => {
    const unit = livedUnit(24 + 0.5);
    live(unit, 2, (channels, atMs) =>
      isRunning(atMs) ? scaled(channels, 1.73, 0, 1.73) : { ...channels, ia: 0, ib: 0, ic: 0 },
    );
    expect(unit.of('sensor')).toEqual([]);
    expect(unit.of('phase-loss')).not.toEqual([]);
  });

  it('is told from a disconnect that is opened at rest', () => {
    const unit = livedUnit(24);
    live(unit, 4, (channels) => ({ ...channels, ia: 0, ib: 0, ic: 0, leak: 0.0003 }));
    expect(unit.of('sensor')).toEqual([]);
  });

  it('is told from an uneven supply, which raises the other two by half of the fall', () => {
    const unit = livedUnit(24 + 0.5);
    live(unit, 48, (channels, atMs) =>
      isRunning(atMs) ? scaled(channels, 0.8, 1.1, 1.1) : channels,
    );
    expect(unit.of('sensor')).toEqual([]);
    expect(unit.of('unbalance')).not.toEqual([]);
  });

  it('is told from a pole that wears over three weeks under its load alone', () => {
    const unit = livedUnit(48);
    const fromMs = unit.atMs;
    live(unit, 21 * 24, (channels, atMs) => {
      const worn = (0.2 * (atMs - fromMs)) / (21 * 24 * HOUR_MS);
      return isRunning(atMs) ? scaled(channels, 1 - worn, 1 + worn / 3, 1 + worn / 3) : channels;
    });
    expect(unit.of('sensor')).toEqual([]);
  });

  it('is told from a service outlet in working hours', () => {
    const unit = livedUnit(24);
    live(unit, 10 * 24, (channels, atMs) => {
      const hour = (atMs / HOUR_MS) % 24;
      const used = hour >= 8 && hour < 16 && (atMs / MINUTE_MS) % 90 < 50;
      return used ? { ...channels, ia: (channels.ia ?? 0) + 7 } : channels;
    });
    expect(unit.of('sensor')).toEqual([]);
  });
});

describe('two channels that fail', () => {
  it('are one finding at a time, which names the newer and lists the other', () => {
    const unit = livedUnit(72);
    live(unit, 14.5, (channels) => ({ ...channels, leak: 0.00087 }));
    live(unit, 2, (channels) => ({ ...channels, leak: 0.00087, ib: 0 }));
    expect(unit.story('sensor')).toEqual(['opened routine', 'closed', 'opened routine']);
    expect(raised(unit.of('sensor')[2]).evidence).toMatchObject({
      channel: 'phase-b',
      otherSuspectChannels: 'leakage',
    });
    expect(unit.of('phase-loss')).toEqual([]);
  });
});
