import { adviceFor, CAUSES, type Cause, type CauseEstimate, type Plate } from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { unitLike } from './observed-unit.ts';

const PLATE: Plate = unitLike({});
const LONGEST_LINE = 110;

function causes(...named: readonly (readonly [Cause, number])[]): readonly CauseEstimate[] {
  return named.map(([cause, probability]) => ({ cause, probability, because: [] }));
}

const FIRST_CHECK: readonly (readonly [Cause, Cause, string])[] = [
  ['line-side-track-to-ground', 'unknown', 'tracking marks'],
  ['pole-to-pole-track', 'unknown', 'tracking marks'],
  ['load-insulation', 'unknown', 'past its contactor'],
  ['load-insulation', 'line-side-track-to-ground', 'drop one by one'],
  ['water-ingress', 'condensation', 'conduit seals'],
  ['supply-voltage', 'worn-pole-or-connection', 'phase to phase'],
  ['worn-pole-or-connection', 'supply-voltage', 'phase to phase'],
  ['worn-pole-or-connection', 'unknown', 'across each closed pole'],
  ['open-fuse', 'sensor-fault', 'each fuse'],
  ['utility-outage', 'disconnect-open-or-fuses-open', 'ahead of the disconnect'],
  ['disconnect-open-or-fuses-open', 'unknown', 'disconnect is open'],
  ['sensor-fault', 'unknown', 'second meter'],
  ['node-offline', 'utility-outage', 'ahead of the disconnect'],
  ['node-offline', 'unknown', 'the node'],
];

describe('what to check on site', () => {
  it.each(FIRST_CHECK)('begins, for %s beside %s, with "%s"', (first, second, words) => {
    const { checks } = adviceFor(causes([first, 0.6], [second, 0.35]), PLATE);
    expect(checks[0]).toContain(words);
  });

  it('warns of what an insulation test harms only where one is asked for', () => {
    const track = adviceFor(causes(['line-side-track-to-ground', 0.7]), PLATE);
    expect(track.checks.join()).toContain('Measure the insulation of the line side');
    expect(track.cautions.join()).toContain('isolate transformer');
    const supply = adviceFor(causes(['supply-voltage', 0.9]), PLATE);
    expect(supply.checks.join()).not.toContain('insulation');
    expect(supply.cautions.join()).not.toContain('isolate transformer');
  });

  it('always says that no reading proves absence of voltage, and never a larger fuse', () => {
    for (const cause of CAUSES) {
      const { cautions } = adviceFor(causes([cause, 0.8]), null);
      expect(cautions[0]).toContain('No reading proves absence of voltage');
      expect(cautions.join()).toContain('Never a larger fuse');
    }
  });

  it('names a few short lines for any causes', () => {
    const some = fc.uniqueArray(
      fc.tuple(fc.constantFrom(...CAUSES), fc.double({ min: 0, max: 0.3, noNaN: true })),
      {
        maxLength: 3,
        selector: ([cause]) => cause,
      },
    );
    fc.assert(
      fc.property(some, (named) => {
        const { checks, cautions } = adviceFor(causes(...named), PLATE);
        expect(checks.length).toBeGreaterThan(0);
        expect(checks.length).toBeLessThanOrEqual(4);
        expect(new Set(checks).size).toBe(checks.length);
        for (const line of [...checks, ...cautions]) {
          expect(line.length).toBeLessThanOrEqual(LONGEST_LINE);
        }
      }),
    );
  });
});

describe('what to bring', () => {
  it('is by the nameplate: three fuses plus three, contactors, never a guess', () => {
    const plate: Plate = {
      ...PLATE,
      fuses: { class: 'RK5', amps: 45 },
      contactors: [{ name: 'C1', load: 'compressor', poles: 3, flaAmps: null }],
    };
    const { bring } = adviceFor(causes(['line-side-track-to-ground', 0.8]), plate);
    expect(bring).toContain('Fuses class RK5, 45 A, three plus three');
    expect(bring).toContain(
      'Contactor to match: C1 3 poles full load not recorded; coil voltage not recorded',
    );
  });

  it('says what is not recorded where the unit is not known', () => {
    const { bring } = adviceFor(causes(['open-fuse', 0.9]), null);
    expect(bring[0]).toContain('not recorded');
  });

  it('carries nothing for a cause that is hardly there, and each thing once', () => {
    const { bring } = adviceFor(
      causes(['supply-voltage', 0.6], ['worn-pole-or-connection', 0.3], ['sensor-fault', 0.05]),
      PLATE,
    );
    expect(bring.some((thing) => thing.includes('node'))).toBe(false);
    expect(new Set(bring).size).toBe(bring.length);
  });

  it('has something for every cause that somebody can act on', () => {
    for (const cause of CAUSES) {
      if (cause === 'humid-weather') continue;
      expect(adviceFor(causes([cause, 0.8]), PLATE).bring.length).toBeGreaterThan(0);
    }
  });
});
