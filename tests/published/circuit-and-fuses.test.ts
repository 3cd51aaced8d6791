import {
  FUSE_CLASS_FACTS,
  fuseSubstitution,
  judgeFuseSize,
  letThroughAmpsSquaredSeconds,
  maximumProtectionAmps,
  minimumCircuitAmps,
  protectionAmps,
  STANDARD_AMPS,
} from '@lineside/physics';
import { describe, expect, it } from 'vitest';

describe('circuit sizes of NEC 440 and 430.24', () => {
  // Rules as printed; the results are arithmetic (the first from printed inputs).
  it.each<[readonly number[], number, number, number, number, number]>([
    [[20, 1.5], 26.5, 36.5, 35, 46.5, 45],
    [[19.2, 19.2, 2, 2, 7.6], 54.8, 64.4, 60, 74, 70],
    [[20], 25, 35, 35, 45, 45],
  ])('of loads %j: MCA %d A, protection %d -> %d A, at most %d -> %d A', (loads, ...published) => {
    const [minimum, base, baseSize, ceiling, ceilingSize] = published;
    expect(minimumCircuitAmps(loads)).toBeCloseTo(minimum, 9);
    expect(protectionAmps(loads, 'base')).toBeCloseTo(base, 9);
    expect(maximumProtectionAmps(loads, 'base')).toBe(baseSize);
    expect(protectionAmps(loads, 'ceiling')).toBeCloseTo(ceiling, 9);
    expect(maximumProtectionAmps(loads)).toBe(ceilingSize);
  });

  it('ask 1.5 times the largest load of the least fuse (UL 1995 clause 36.1)', () => {
    expect(protectionAmps([20, 1.5], 'least')).toBeCloseTo(31.5, 9);
  });

  it('never protect below 15 A (NEC 440.22(A)) nor below the minimum circuit ampacity', () => {
    expect(maximumProtectionAmps([2])).toBe(15);
    // 47 loads of 1 A: 48.25 A goes down to 45 A, but the wire carries 47.25 A at least.
    const alike = Array.from({ length: 47 }, () => 1);
    expect(minimumCircuitAmps(alike)).toBeCloseTo(47.25, 9);
    expect(protectionAmps(alike, 'ceiling')).toBeCloseTo(48.25, 9);
    expect(maximumProtectionAmps(alike)).toBe(50);
  });

  it('come in the standard sizes of NEC 240.6(A)', () => {
    expect(STANDARD_AMPS.join(' ')).toBe(
      '15 20 25 30 35 40 45 50 60 70 80 90 100 110 125 150 175 200 225 250 300 350 400 450 500 600',
    );
  });
});

describe('fuses', () => {
  it.each([
    [45, 26.5, 45, 'fits'],
    [60, 26.5, 45, 'above-maximum'],
    [25, 26.5, 45, 'below-minimum'],
    [42, 26.5, 45, 'odd-size'],
    [45, 26.5, null, 'unknown'],
    [25, 26.5, null, 'below-minimum'],
    [60, null, 45, 'above-maximum'],
  ])('of %d A on a nameplate of %s to %s A are judged %s', (fitted, mca, mop, verdict) => {
    expect(judgeFuseSize(fitted, mca, mop)).toBe(verdict);
  });

  it('of class CC hold 200 % for 12 s and end at 30 A and 600 V (UL 248-4)', () => {
    const { standard, mostAmps, volts, interruptingKiloamps, timeDelay } = FUSE_CLASS_FACTS.CC;
    expect([standard, mostAmps, volts, interruptingKiloamps]).toEqual(['UL 248-4', 30, [600], 200]);
    expect(timeDelay).toEqual({ ratedPercent: 200, seconds: 12 });
  });

  it('of class R end at 600 A, for 250 and 600 V, and interrupt 200 kA (UL 248-12)', () => {
    for (const facts of [FUSE_CLASS_FACTS.RK1, FUSE_CLASS_FACTS.RK5]) {
      expect(facts).toMatchObject({ mostAmps: 600, volts: [250, 600], interruptingKiloamps: 200 });
    }
  });

  it('of class RK1 may stand in for RK5, which let more through, and not the other way', () => {
    expect(fuseSubstitution('RK5', 'RK1')).toBe('better');
    expect(fuseSubstitution('RK1', 'RK5')).toBe('worse');
    expect(fuseSubstitution('J', 'J')).toBe('same');
    expect(fuseSubstitution('J', 'CC')).toBe('other-shape');
  });

  // Arithmetic of the definition: the half wave has an RMS of its peak over the root of 2.
  it.each([
    [100, 0.1, 1000],
    [1000 / Math.SQRT2, 1 / 120, 4166.666667],
    [150, 10, 225_000],
  ])('that carry %d A for %d s have let through %d A2 s', (amps, seconds, energy) => {
    const found = letThroughAmpsSquaredSeconds(amps, seconds);
    expect(Math.abs(found / energy - 1)).toBeLessThan(1e-9);
  });
});
