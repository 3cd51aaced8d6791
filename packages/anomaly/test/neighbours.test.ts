import {
  type FindingChange,
  neighbourView,
  type PowerSlice,
  withNeighbours,
  withoutPowerSinceMs,
} from '@lineside/anomaly';
import { describe, expect, it } from 'vitest';
import { DRY, HOUR_MS, IDLE, leaking, MINUTE_MS, NOTHING, ObservedUnit } from './observed-unit.ts';

function lived(...spells: readonly (readonly [minutes: number, power: boolean])[]): ObservedUnit {
  const unit = new ObservedUnit();
  unit.hold(60, [DRY, IDLE, leaking(1)]);
  for (const [minutes, power] of spells) {
    unit.hold(minutes, [DRY, power ? IDLE : NOTHING, leaking(power ? 1 : 0)]);
  }
  return unit;
}

const START_MS = new ObservedUnit().atMs;
const power = (unit: ObservedUnit): PowerSlice => unit.state.power;

describe('what a unit tells of its power', () => {
  it('is each spell without it, and the one that goes on', () => {
    const unit = lived([30, false], [60, true], [10, false]);
    const firstMs = START_MS + 60 * MINUTE_MS;
    expect(withoutPowerSinceMs(power(unit), firstMs + 10 * MINUTE_MS)).toBe(firstMs);
    expect(withoutPowerSinceMs(power(unit), firstMs + 40 * MINUTE_MS)).toBeNull();
    const secondMs = firstMs + 90 * MINUTE_MS;
    expect(withoutPowerSinceMs(power(unit), unit.atMs)).toBe(secondMs);
  });

  it('counts a gap in the readings as a spell', () => {
    const unit = lived([5, true]);
    const lastMs = unit.atMs - MINUTE_MS;
    unit.atMs += HOUR_MS;
    unit.hold(5, [DRY, IDLE, leaking(1)]);
    expect(withoutPowerSinceMs(power(unit), lastMs + 20 * MINUTE_MS)).toBe(lastMs);
  });

  it('keeps the newest spells only', () => {
    const unit = lived(...Array.from({ length: 80 }, (_, index) => [20, index % 2 === 1] as const));
    expect(power(unit).spells.length).toBe(10);
  });
});

describe('the view of the neighbours', () => {
  const deadMs = START_MS + 60 * MINUTE_MS;

  it('tells who died in the same minutes from who carried on', () => {
    const dead = power(lived([30, false]));
    const later = power(lived([20, true], [30, false]));
    const live = power(lived([30, true]));
    expect(neighbourView([dead, later, live], deadMs)).toEqual({ together: 1, carriedOn: 2 });
  });

  it('does not count who was dead before, nor who is not heard yet', () => {
    const before = power(lived([30, false]));
    const unheard = power(lived([2, true]));
    expect(neighbourView([before, unheard], deadMs + 20 * MINUTE_MS)).toEqual({
      together: 0,
      carriedOn: 0,
    });
    expect(neighbourView([power(new ObservedUnit())], deadMs)).toEqual({
      together: 0,
      carriedOn: 0,
    });
  });
});

describe('a dead unit', () => {
  const finding = lived([20, false]).of('supply-loss')[0] as FindingChange;

  it('is an outage, and routine, where all died together', () => {
    const changed = withNeighbours(finding, { together: 2, carriedOn: 0 });
    expect(changed).toMatchObject({
      priority: 'routine',
      headline: 'No power, as on 2 units beside it: utility outage',
    });
    const [first] = changed.change === 'closed' ? [] : changed.causes;
    expect(first?.cause).toBe('utility-outage');
    expect(first?.probability).toBeGreaterThan(0.8);
  });

  it('has lost its own fuses or disconnect where neighbours carried on', () => {
    const changed = withNeighbours(finding, { together: 1, carriedOn: 3 });
    expect(changed).toMatchObject({ priority: 'urgent' });
    const [first] = changed.change === 'closed' ? [] : changed.causes;
    expect(first?.cause).toBe('disconnect-open-or-fuses-open');
    const [alone] = finding.change === 'closed' ? [] : finding.causes;
    expect(first?.probability).toBeGreaterThan(alone?.probability ?? 1);
  });

  it('stays what it was where no neighbour tells', () => {
    expect(withNeighbours(finding, { together: 0, carriedOn: 0 })).toBe(finding);
  });
});
