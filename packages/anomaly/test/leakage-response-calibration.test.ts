import { conditionOf, type LeakageEstimate } from '@lineside/anomaly';
import { describe, expect, it } from 'vitest';
import { IDLE, leaking, MINUTE_MS, ObservedUnit } from './observed-unit.ts';

/** A small generator of our own: the same draws each time (mulberry32, from memory). */
function randomOf(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

interface DrawnUnit {
  readonly floor: number;
  /** Excess at 95 %RH, mA, and its slope. */
  readonly wet: number;
  readonly slope: number;
  /** How days differ, as standard deviation of ln(excess). */
  readonly dayScatter: number;
  readonly noise: number;
}

function drawnUnit(random: () => number): DrawnUnit {
  return {
    floor: 0.3 + 2 * random(),
    wet: 0.5 * 60 ** random(),
    slope: 0.04 + 0.1 * random(),
    dayScatter: 0.35 * random(),
    noise: 0.02 + 0.1 * random(),
  };
}

interface Outcome {
  readonly dry: boolean;
  readonly wet: boolean;
  /** Upper over lower limit of the wet day. */
  readonly wide: number;
}

/** Damp days up to a humidity, then the outlook against the mean of a day to come. */
function forecast(seed: number, mostPercent: number): Outcome {
  const random = randomOf(seed);
  const drawn = drawnUnit(random);
  const unit = new ObservedUnit();
  for (let day = 0; day < 10; day += 1) {
    const factor = Math.exp(drawn.dayScatter * normal(random));
    const wettest = mostPercent - (day === 8 ? 0 : 12 * random());
    for (let hour = 0; hour < 24; hour += 1) {
      const swing = 0.5 - 0.5 * Math.cos((2 * Math.PI * hour) / 24);
      const rh = 42 + (wettest - 42) * swing;
      for (let part = 0; part < 10; part += 1) {
        const film =
          drawn.wet * factor * Math.exp(drawn.slope * ((unit.state.film.percent ?? rh) - 95));
        const level = drawn.floor + film + drawn.noise * normal(random);
        unit.read({ rh, t: 15 }, IDLE, leaking(Math.max(level, 0)));
        unit.atMs += 6 * MINUTE_MS;
      }
    }
  }
  const { dryDay, wetDay } = conditionOf(unit.state, unit.unit)!.leakageOutlook!;
  const next = Math.exp(drawn.dayScatter * normal(random));
  const at = (percent: number): number =>
    drawn.floor + drawn.wet * next * Math.exp(drawn.slope * (percent - 95));
  return {
    dry: holds(dryDay!, at(50)),
    wet: holds(wetDay!, at(95)),
    wide: wetDay!.upperMilliamps / Math.max(wetDay!.lowerMilliamps, 0.1),
  };
}

function holds({ lowerMilliamps, upperMilliamps }: LeakageEstimate, truth: number): boolean {
  return truth >= lowerMilliamps && truth <= upperMilliamps;
}

const DRAWS = 60;

/** Of so many draws at a claim of nine in ten, fewer than this happen once in a hundred. */
const LEAST_OF_DRAWS = 48;

describe('limits for nine of ten next days', () => {
  it.each([
    [100, 5],
    [88, 10],
    [80, 40],
  ])('hold as often as claimed, of units seen up to %i per cent', (most, widest) => {
    let dry = 0;
    let wet = 0;
    const widths: number[] = [];
    for (let draw = 0; draw < DRAWS; draw += 1) {
      const outcome = forecast(1000 * most + draw, most);
      if (outcome.dry) dry += 1;
      if (outcome.wet) wet += 1;
      widths.push(outcome.wide);
    }
    expect(dry).toBeGreaterThanOrEqual(LEAST_OF_DRAWS);
    expect(wet).toBeGreaterThanOrEqual(LEAST_OF_DRAWS);
    // Limits that hold because they say nothing are of no use.
    widths.sort((one, other) => one - other);
    expect(widths[DRAWS / 2]!).toBeLessThan(widest);
  });
});
