import {
  creepageMillimetres,
  judgeFuseSize,
  letThroughAmpsSquaredSeconds,
  type MaterialGroup,
  materialGroupOf,
  maximumProtectionAmps,
  megohmsAtFortyCelsius,
  minimumCircuitAmps,
  minimumWindingMegohms,
  motorDeratingFactor,
  openLineDeltaWindingAmps,
  openPhaseAmps,
  PhysicsRangeError,
  polarizationIndex,
  protectionAmps,
  STANDARD_AMPS,
  standardSizeDownAmps,
  standardSizeUpAmps,
  windingHeatingPercent,
  windingTemperatureFactor,
} from '@lineside/physics';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { between } from './between.ts';

const loads = fc.array(between(0.1, 60), {
  minLength: 1,
  maxLength: 6,
});
const group = fc.constantFrom<MaterialGroup>('I', 'II', 'IIIa', 'IIIb');
const degree = fc.constantFrom<2 | 3>(2, 3);

describe('standard sizes', () => {
  it('enclose every current with nothing between', () => {
    fc.assert(
      fc.property(between(15, 600), (amps) => {
        const down = standardSizeDownAmps(amps);
        const up = standardSizeUpAmps(amps);
        expect(down).toBeLessThanOrEqual(amps * (1 + 1e-9));
        expect(up).toBeGreaterThanOrEqual(amps * (1 - 1e-9));
        expect(STANDARD_AMPS.filter((size) => size > down && size < up)).toEqual([]);
      }),
    );
  });

  it('are their own next size, up and down', () => {
    for (const size of STANDARD_AMPS) {
      expect([standardSizeDownAmps(size), standardSizeUpAmps(size)]).toEqual([size, size]);
    }
  });
});

describe('circuits', () => {
  it('get a standard size between the wire and the rule, whatever the loads', () => {
    fc.assert(
      fc.property(loads, (amps) => {
        const minimum = minimumCircuitAmps(amps);
        const most = maximumProtectionAmps(amps);
        expect(STANDARD_AMPS).toContain(most);
        expect(most).toBeGreaterThanOrEqual(minimum * (1 - 1e-9));
        expect(maximumProtectionAmps(amps, 'base')).toBeLessThanOrEqual(most);
        expect(protectionAmps(amps, 'ceiling')).toBeGreaterThan(minimum);
        expect(['fits', 'below-minimum']).toContain(judgeFuseSize(most, minimum, most));
      }),
    );
  });

  it('do not depend on the order of the loads and grow with each', () => {
    fc.assert(
      fc.property(loads, (amps) => {
        expect(minimumCircuitAmps(amps.toReversed())).toBeCloseTo(minimumCircuitAmps(amps), 9);
        expect(minimumCircuitAmps([...amps, 1])).toBeGreaterThan(minimumCircuitAmps(amps));
      }),
    );
  });
});

describe('creepage', () => {
  it('never falls with voltage, nor with dirt, nor with a worse material', () => {
    fc.assert(
      fc.property(
        between(1, 600),
        between(0, 30),
        degree,
        group,
        fc.constantFrom<'next-row' | 'straight-line'>('next-row', 'straight-line'),
        (volts, more, dirt, material, between) => {
          const found = creepageMillimetres(volts, dirt, material, between);
          const higher = creepageMillimetres(volts + more, dirt, material, between);
          expect(higher).toBeGreaterThanOrEqual(found);
          expect(creepageMillimetres(volts, 3, material, between)).toBeGreaterThanOrEqual(found);
          expect(creepageMillimetres(volts, dirt, 'IIIb', between)).toBeGreaterThanOrEqual(found);
        },
      ),
    );
  });

  it('of a straight line is at most that of the next row and meets it at the rows', () => {
    fc.assert(
      fc.property(between(1, 1000), degree, (volts, dirt) => {
        expect(creepageMillimetres(volts, dirt, 'IIIa', 'straight-line')).toBeLessThanOrEqual(
          creepageMillimetres(volts, dirt, 'IIIa'),
        );
      }),
    );
    expect(creepageMillimetres(500, 3, 'IIIa', 'straight-line')).toBe(8);
    expect(creepageMillimetres(450, 3, 'IIIa', 'straight-line')).toBeCloseTo(7.15, 12);
  });
});

describe('windings and motors', () => {
  it('have a temperature factor that rises and is 1 at 40 C', () => {
    for (const insulation of ['thermoplastic', 'thermosetting'] as const) {
      expect(windingTemperatureFactor(40, insulation)).toBe(1);
      fc.assert(
        fc.property(between(10, 84), (celsius) => {
          const found = windingTemperatureFactor(celsius, insulation);
          expect(windingTemperatureFactor(celsius + 1, insulation)).toBeGreaterThan(found);
        }),
      );
    }
  });

  it('are never allowed more and never heat less under more unbalance', () => {
    fc.assert(
      fc.property(between(0, 4.5), between(0, 0.5), (percent, more) => {
        expect(motorDeratingFactor(percent + more)).toBeLessThanOrEqual(
          motorDeratingFactor(percent) + 1e-12,
        );
        expect(windingHeatingPercent(percent + more)).toBeGreaterThanOrEqual(
          windingHeatingPercent(percent),
        );
      }),
    );
  });
});

describe('input outside the range', () => {
  it.each<[string, () => unknown, string]>([
    ['a size below 15 A', () => standardSizeDownAmps(14), '15 to 600, got 14'],
    ['a size of NaN', () => standardSizeUpAmps(Number.NaN), '0 to 600, got NaN'],
    ['no loads', () => minimumCircuitAmps([]), 'number of loads'],
    ['a load of NaN', () => protectionAmps([1, Number.NaN], 'base'), 'rated load'],
    ['loads beyond the sizes', () => maximumProtectionAmps([500]), 'beyond the standard sizes'],
    ['a fuse of 0 A', () => judgeFuseSize(0, null, null), 'fitted fuse'],
    ['a nameplate upside down', () => judgeFuseSize(30, 45, 26), 'read the nameplate again'],
    ['a negative time', () => letThroughAmpsSquaredSeconds(1, -1), 'time in s'],
    ['creepage at 0 V', () => creepageMillimetres(0, 3, 'I'), 'RMS voltage'],
    ['creepage above the table', () => creepageMillimetres(1001, 3, 'I'), 'RMS voltage'],
    ['group IIIb in dirt', () => creepageMillimetres(700, 3, 'IIIb'), 'take a better material'],
    ['a CTI below 100', () => materialGroupOf(99), 'tracking index'],
    ['a frozen winding', () => windingTemperatureFactor(5, 'thermosetting'), '10 to 85, got 5'],
    ['a negative resistance', () => megohmsAtFortyCelsius(-1, 20, 'thermoplastic'), 'Mohm'],
    ['a rating of NaN', () => minimumWindingMegohms('old', Number.NaN), 'rated voltage'],
    ['an index over zero', () => polarizationIndex(0, 1), 'after one minute'],
    ['an index of infinity', () => polarizationIndex(1, Infinity), 'after ten minutes'],
    ['derating above 5 %', () => motorDeratingFactor(5.1), '0 to 5, got 5.1'],
    ['heating of NaN', () => windingHeatingPercent(Number.NaN), 'voltage unbalance'],
    ['a negative motor', () => openPhaseAmps('line', -1), 'balanced current'],
    ['infinite lines', () => openLineDeltaWindingAmps(Infinity), 'live lines'],
  ])('is refused: %s', (_name, call, words) => {
    expect(call).toThrow(PhysicsRangeError);
    expect(call).toThrow(words);
  });
});
