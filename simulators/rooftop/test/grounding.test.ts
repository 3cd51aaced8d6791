import { GROUNDINGS, type Grounding } from '@lineside/fleet';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Fault } from '../src/index.ts';
import { GroundAdmittance, GroundedSystem } from '../src/world/grounding.ts';
import { ThreePhase, UNIT_PHASORS } from '../src/world/phasor.ts';
import { PHASES, type Phase } from '../src/world/scenario.ts';
import {
  DAY_MS,
  fleetOf,
  MINUTE_MS,
  minutesOf,
  START_MS,
  smallWorld,
  TRACK,
} from './small-world.ts';

function balanced(neutralVolts: number): ThreePhase {
  const volts = new ThreePhase();
  for (const phase of PHASES) {
    volts[phase].x = neutralVolts * UNIT_PHASORS[phase].x;
    volts[phase].y = neutralVolts * UNIT_PHASORS[phase].y;
  }
  return volts;
}

function toGround(grounding: Grounding, volts: number, own = new GroundAdmittance()): number[] {
  const system = new GroundedSystem({ volts, grounding });
  system.solve(balanced(volts / Math.sqrt(3)), own, null);
  return PHASES.map((phase) => system.volts.magnitude(phase));
}

/** Residual of the same conductance on each phase, mA. */
function residualOfFilm(grounding: Grounding, microsiemens: number): number {
  const system = new GroundedSystem({ volts: 480, grounding });
  const own = new GroundAdmittance();
  for (const phase of PHASES) own.set(phase, microsiemens, 0);
  system.solve(balanced(480 / Math.sqrt(3)), own, null);
  let x = 0;
  let y = 0;
  for (const phase of PHASES) {
    x += system.volts[phase].x * microsiemens;
    y += system.volts[phase].y * microsiemens;
  }
  return Math.hypot(x, y) / 1000;
}

describe('phases to ground', () => {
  it('lie as the grounding of the system puts them', () => {
    expect(toGround('solid-wye', 480).map(Math.round)).toEqual([277, 277, 277]);
    expect(toGround('corner-grounded-delta', 480).map(Math.round)).toEqual([480, 0, 480]);
    expect(toGround('high-leg-delta', 240).map(Math.round)).toEqual([120, 208, 120]);
    expect(toGround('ungrounded', 480).map(Math.round)).toEqual([277, 277, 277]);
    expect(toGround('high-resistance', 480).map(Math.round)).toEqual([277, 277, 277]);
  });

  it('rise to the line voltage on an ungrounded system when another phase is grounded', () => {
    const own = new GroundAdmittance();
    own.set('a', 1e7, 0);
    expect(toGround('ungrounded', 480, own).map(Math.round)).toEqual([0, 480, 480]);
    expect(toGround('high-resistance', 480, own).map(Math.round)).toEqual([0, 480, 480]);
    expect(toGround('solid-wye', 480, own).map(Math.round)).toEqual([277, 277, 277]);
  });

  it('let an equal film on three poles cancel in the sum of a wye, and not of a delta', () => {
    expect(residualOfFilm('solid-wye', 20)).toBeLessThan(1e-9);
    expect(residualOfFilm('ungrounded', 20)).toBeLessThan(1e-9);
    expect(residualOfFilm('corner-grounded-delta', 20)).toBeCloseTo(3 * 0.277 * 20, 0);
    expect(residualOfFilm('high-leg-delta', 20)).toBeGreaterThan(5);
  });
});

const PHASE = fc.constantFrom<Phase>('a', 'b', 'c');
const FAULTS: fc.Arbitrary<Fault[]> = fc
  .tuple(PHASE, PHASE, fc.integer({ min: 0, max: 30 }))
  .map(([one, other, size]): Fault[] => [
    { ...TRACK, phase: one, depositMicrosiemens: 2 * size, carbonAtStart: 0.4 },
    { kind: 'vermin', phase: other, fromMs: START_MS, milliamps: size / 2 },
    { kind: 'supply-unbalance', phase: other, fromMs: START_MS, lowPercent: size / 6 },
    {
      kind: 'worn-pole',
      contactor: 0,
      phase: one,
      fromMs: START_MS,
      untilMs: START_MS + DAY_MS,
      finalPercent: size,
    },
    { kind: 'open-fuse', phase: other, notBeforeMs: START_MS + DAY_MS / 4 },
  ]);

describe('the currents of a unit', () => {
  it('are lacking in the sum exactly what flows to ground, whatever is wrong', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...GROUNDINGS),
        fc.boolean(),
        FAULTS,
        fc.integer({ min: 1, max: 1000 }),
        (grounding, drive, faults, seed) => {
          const yaml = `
          supply: { volts: 480, grounding: ${grounding} }
          contactors:
            - { name: C1, load: compressor 1, poles: 3, fla: 18 }
            - { name: C2, load: fan, poles: 2, fla: 4 }
            - { name: C3, load: heater, poles: 3, fla: 20 }
          drive: ${drive}`;
          const world = smallWorld({ unitYaml: yaml, faults, seed, days: 1 });
          const unit = world.unit('test-site', 'rtu-01');
          for (let minute = 1; minute < 600; minute += 1) {
            unit.step(START_MS + minute * MINUTE_MS);
            const currents = unit.currents();
            const residual = unit.truth().residual.milliamps / 1000;
            const { a, b, c, neutral } = currents;
            const lacking = Math.hypot(a.x + b.x + c.x + neutral.x, a.y + b.y + c.y + neutral.y);
            expect(Math.abs(lacking - residual)).toBeLessThan(1e-9);
            // A ground current, not some amps that a load forgot to bring back.
            expect(residual).toBeLessThan(0.3);
          }
        },
      ),
      { numRuns: 12 },
    );
  });
});

const TWO_UNITS = `sites:
    - id: test-site
      latitude: 44
      longitude: -63
      units:
        - { id: rtu-01, supply: { volts: 480, grounding: ungrounded }, node: { supply: battery } }
        - { id: rtu-02, supply: { volts: 480, grounding: ungrounded }, node: { supply: battery } }
`;

describe('two units of one ungrounded transformer', () => {
  const wetAndGrounded = (phase: Phase, fromDay: number): Fault => ({
    ...TRACK,
    phase,
    fromMs: START_MS + fromDay * DAY_MS,
    depositMicrosiemens: 4000,
    wettingPointPercent: 20,
    flashesByItself: true,
  });

  it('see the same ground in the same minutes; it opens no fuse and the second opens both', () => {
    const fleet = fleetOf(TWO_UNITS);
    const world = smallWorld({
      fleet,
      climate: 'humid-coast',
      days: 6,
      transformers: [{ site: 'test-site', units: ['rtu-01', 'rtu-02'] }],
      units: [
        { unit: 'rtu-01', faults: [wetAndGrounded('a', 1)] },
        { unit: 'rtu-02', faults: [wetAndGrounded('b', 3)] },
      ],
    });
    const [one, other] = ['rtu-01', 'rtu-02'].map((id) => world.unit('test-site', id));
    const leaks: number[][] = [[], [], []];
    for (let minute = 1; minute <= 6 * 24 * 60; minute += 1) {
      const atMs = START_MS + minute * MINUTE_MS;
      one!.step(atMs);
      const reading = other!.step(atMs);
      const day = Math.floor(minute / 1440);
      if (day < 3) leaks[day]!.push(1000 * reading!.channels.leak!);
      if (day === 2) {
        expect(one!.truth().openFuses).toEqual([]);
        expect(other!.truth().openFuses).toEqual([]);
      }
    }
    const average = (day: number): number =>
      leaks[day]!.reduce((sum, leak) => sum + leak, 0) / leaks[day]!.length;
    expect(average(2)).toBeGreaterThan(1.4 * average(0));
    expect(one!.truth().openFuses).toContain('a');
    expect(other!.truth().openFuses).toContain('b');
    const truth = other!.runTruth(START_MS + 6 * DAY_MS);
    expect(truth.lookAlikes.map(({ lookAlike }) => lookAlike)).toContain('neighbour-ground');
    expect(truth.faults[0]!.failureMs).toBeGreaterThan(START_MS + 3 * DAY_MS);
    expect(truth.faults[0]!.fusesOpened).toContain('b');
  });

  it('have no more than the resistor lets through on a high-resistance system', () => {
    const faults = [wetAndGrounded('c', 1)];
    const yaml = `
          supply: { volts: 480, grounding: high-resistance }
          node: { supply: battery }`;
    const minutes = [
      ...minutesOf(smallWorld({ unitYaml: yaml, faults, climate: 'humid-coast' }), 4),
    ];
    const highest = Math.max(...minutes.map(({ channels }) => channels!.leak!));
    expect(highest).toBeGreaterThan(0.5);
    expect(highest).toBeLessThan(5.5);
    expect(minutes.at(-1)!.truth.openFuses).toEqual([]);
  });
});
