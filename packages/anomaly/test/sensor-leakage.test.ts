import { describe, expect, it } from 'vitest';
import { isRunning, live, livedUnit } from './lived-unit.ts';
import { HOUR_MS, raised } from './observed-unit.ts';

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
});
