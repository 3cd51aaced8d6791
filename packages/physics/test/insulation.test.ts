import {
  type GroundingSystem,
  highestTrackVolts,
  leakageAtVoltsMilliamps,
  limitedTrackMilliamps,
  lowestTrackVolts,
  magnitudeOf,
  type PhaseName,
  PhysicsRangeError,
  phasorOf,
  residualOfTracksMilliamps,
  type TiedGroundingSystem,
  trackMilliamps,
  trackOhms,
  trackVolts,
  trackWatts,
  worstTrackAtMostOhms,
} from '@lineside/physics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from './between.ts';

const TIED: readonly TiedGroundingSystem[] = [
  'solid-wye',
  'corner-grounded-delta',
  'high-leg-delta',
];
const PHASES: readonly PhaseName[] = ['a', 'b', 'c'];
const NO_TRACK_OHMS = 1e15;

const ohms = between(1000, 1e8);
const volts = between(100, 700);
const tied = fc.constantFrom(...TIED);
const phase = fc.constantFrom(...PHASES);

/** Voltages to ground as phasors: the wye's, less the potential of the point that is grounded. */
function phasorsToGround(
  grounding: TiedGroundingSystem,
  lineVolts: number,
  odd: PhaseName,
): Readonly<Record<PhaseName, { readonly real: number; readonly imaginary: number }>> {
  const toNeutral = { a: 0, b: -120, c: 120 } as const;
  const wye = Object.fromEntries(
    PHASES.map((name) => [name, phasorOf(lineVolts / Math.sqrt(3), toNeutral[name])]),
  ) as Record<PhaseName, { readonly real: number; readonly imaginary: number }>;
  const others = PHASES.filter((name) => name !== odd);
  const grounded = {
    'solid-wye': { real: 0, imaginary: 0 },
    'corner-grounded-delta': wye[odd],
    'high-leg-delta': {
      real: others.reduce((sum, name) => sum + wye[name].real / 2, 0),
      imaginary: others.reduce((sum, name) => sum + wye[name].imaginary / 2, 0),
    },
  }[grounding];
  const shifted = (name: PhaseName): { real: number; imaginary: number } => ({
    real: wye[name].real - grounded.real,
    imaginary: wye[name].imaginary - grounded.imaginary,
  });
  return { a: shifted('a'), b: shifted('b'), c: shifted('c') };
}

describe('the voltage of a track', () => {
  it('is that of the phasor to the point that is grounded', () => {
    fc.assert(
      fc.property(tied, phase, phase, volts, (grounding, name, odd, lineVolts) => {
        const expected = magnitudeOf(phasorsToGround(grounding, lineVolts, odd)[name]);
        expect(Math.abs(trackVolts(grounding, name, lineVolts, odd) - expected)).toBeLessThan(1e-9);
      }),
    );
  });

  it('lies between the lowest and the highest, which are the same where ground is tied', () => {
    for (const grounding of [...TIED, 'ungrounded', 'high-resistance'] as const) {
      for (const name of PHASES) {
        const usual = trackVolts(grounding, name, 480);
        expect(lowestTrackVolts(grounding, name, 480)).toBeLessThanOrEqual(usual);
        expect(highestTrackVolts(grounding, name, 480)).toBeGreaterThanOrEqual(usual);
      }
    }
    expect(lowestTrackVolts('high-leg-delta', 'b', 240)).toBe(
      highestTrackVolts('high-leg-delta', 'b', 240),
    );
    expect(lowestTrackVolts('ungrounded', 'a', 480)).toBe(0);
    expect(highestTrackVolts('high-resistance', 'a', 480)).toBe(480);
  });
});

describe('the residual of tracks', () => {
  it('is the sum of their phasors', () => {
    fc.assert(
      fc.property(tied, phase, ohms, ohms, ohms, volts, (grounding, odd, a, b, c, lineVolts) => {
        const found = residualOfTracksMilliamps(grounding, a, b, c, lineVolts, odd);
        const driving = phasorsToGround(grounding, lineVolts, odd);
        const real = driving.a.real / a + driving.b.real / b + driving.c.real / c;
        const imaginary =
          driving.a.imaginary / a + driving.b.imaginary / b + driving.c.imaginary / c;
        const expected = 1000 * Math.hypot(real, imaginary);
        const largest = (1000 * lineVolts) / Math.min(a, b, c);
        expect(Math.abs(found - expected)).toBeLessThan(1e-7 * largest);
      }),
    );
  });

  it('cancels for equal films on a solid wye, so that a low residual is not dry', () => {
    expect(residualOfTracksMilliamps('solid-wye', 5000, 5000, 5000, 480)).toBe(0);
  });

  it('does not see the track of the grounded corner', () => {
    const without = residualOfTracksMilliamps(
      'corner-grounded-delta',
      1e5,
      NO_TRACK_OHMS,
      2e5,
      480,
    );
    expect(residualOfTracksMilliamps('corner-grounded-delta', 1e5, 1000, 2e5, 480)).toBe(without);
  });

  it('of one track is its current', () => {
    fc.assert(
      fc.property(tied, phase, ohms, volts, (grounding, name, resistance, lineVolts) => {
        const of = (each: PhaseName): number => (each === name ? resistance : NO_TRACK_OHMS);
        const found = residualOfTracksMilliamps(grounding, of('a'), of('b'), of('c'), lineVolts);
        const alone = trackMilliamps(resistance, trackVolts(grounding, name, lineVolts));
        expect(Math.abs(found - alone)).toBeLessThan(1e-6 * alone + 1e-6);
      }),
    );
  });

  it('bounds the worst track from above, and the bound is reached', () => {
    fc.assert(
      fc.property(tied, ohms, ohms, ohms, volts, (grounding, a, b, c, lineVolts) => {
        const residual = residualOfTracksMilliamps(grounding, a, b, c, lineVolts);
        fc.pre(residual > 1e-6);
        const bound = worstTrackAtMostOhms(grounding, residual, lineVolts) ?? 0;
        expect(Math.min(a, b, c)).toBeLessThanOrEqual(bound * (1 + 1e-9));
      }),
    );
    for (const [grounding, third] of [
      ['solid-wye', 1e4],
      ['corner-grounded-delta', 1e4],
      ['high-leg-delta', NO_TRACK_OHMS],
    ] as const) {
      const residual = residualOfTracksMilliamps(
        grounding,
        1e4,
        grounding === 'high-leg-delta' ? 1e4 : NO_TRACK_OHMS,
        third,
        480,
      );
      expect(worstTrackAtMostOhms(grounding, residual, 480)).toBeCloseTo(1e4, 5);
    }
  });

  it.each<GroundingSystem>(['ungrounded', 'high-resistance'])('bounds nothing when %s', (kind) => {
    expect(worstTrackAtMostOhms(kind, 10, 480)).toBeNull();
  });
});

describe('one track', () => {
  it('has a resistance that gives its current back, and a heat of I squared times R', () => {
    fc.assert(
      fc.property(between(1e-3, 1000), volts, (milliamps, driving) => {
        const resistance = trackOhms(milliamps, driving);
        fc.pre(resistance >= 1);
        expect(Math.abs(trackMilliamps(resistance, driving) / milliamps - 1)).toBeLessThan(1e-12);
        const watts = (milliamps / 1000) ** 2 * resistance;
        expect(Math.abs(trackWatts(milliamps, driving) / watts - 1)).toBeLessThan(1e-12);
      }),
    );
  });

  it('leaks at another voltage in proportion, there and back', () => {
    fc.assert(
      fc.property(volts, volts, (from, to) => {
        const there = leakageAtVoltsMilliamps(10, from, to);
        expect(leakageAtVoltsMilliamps(there, to, from)).toBeCloseTo(10, 9);
        expect(there).toBeCloseTo(trackMilliamps(trackOhms(10, from), to), 9);
      }),
    );
  });

  it('leaks as on a solid wye through a neutral of far less resistance, and is limited by it', () => {
    // 480 V with a resistor of 55 ohm: 5 A at a dead ground, as such resistors are chosen.
    const free = trackMilliamps(27_700, 277);
    expect(limitedTrackMilliamps(27_700, 277, 55, 'resistor') / free).toBeCloseTo(1, 2);
    expect(limitedTrackMilliamps(27_700, 277, 300, 'capacitance') / free).toBeCloseTo(1, 3);
    expect(limitedTrackMilliamps(1, 277, 55, 'resistor')).toBeLessThan(5040);
    fc.assert(
      fc.property(ohms, volts, ohms, (resistance, driving, back) => {
        const resistor = limitedTrackMilliamps(resistance, driving, back, 'resistor');
        const capacitance = limitedTrackMilliamps(resistance, driving, back, 'capacitance');
        expect(resistor).toBeLessThan(capacitance);
        expect(capacitance).toBeLessThanOrEqual(trackMilliamps(resistance, driving));
      }),
    );
  });

  it.each<[string, () => unknown, string]>([
    ['resistance of no current', () => trackOhms(0, 277), 'leakage in mA'],
    ['a negative voltage', () => trackOhms(1, -277), 'voltage of the track'],
    ['a dead short', () => trackMilliamps(0, 277), 'resistance of the track'],
    ['heat of NaN', () => trackWatts(Number.NaN, 277), 'leakage in mA'],
    ['a reference at 0 V', () => leakageAtVoltsMilliamps(1, 0, 277), 'reference voltage'],
    ['medium voltage', () => trackVolts('solid-wye', 'a', 4160), 'line voltage'],
    [
      'an infinite film',
      () => residualOfTracksMilliamps('solid-wye', 1, 1, Infinity, 480),
      'phase c',
    ],
    ['a residual of zero', () => worstTrackAtMostOhms('solid-wye', 0, 480), 'residual in mA'],
    ['a return of NaN', () => limitedTrackMilliamps(1, 1, Number.NaN, 'resistor'), 'return path'],
  ])('refuses %s', (_name, call, words) => {
    expect(call).toThrow(PhysicsRangeError);
    expect(call).toThrow(words);
  });
});
