import { describe, expect, it } from 'vitest';
import { PLAIN_COHORTS, plainCase } from '../src/cohorts/plain-cohorts.ts';
import type { PlainFault, PlainPlan } from '../src/plan.ts';
import { runPlain } from '../src/run-plain.ts';
import type { PlainUnit } from '../src/unit/plain-unit.ts';
import { magnusDewPointCelsius, magnusPascals } from '../src/weather/magnus.ts';

const nothing = { reading: () => undefined, weather: () => undefined, service: () => undefined };

function planOf(name: string, index: number, weeks: number): PlainPlan {
  const cohort = PLAIN_COHORTS.find((one) => one.name === name);
  if (cohort === undefined) throw new Error(`no cohort ${name}`);
  return plainCase(cohort, index, { weeks, block: 0 });
}

function withFaults(plan: PlainPlan, faults: readonly PlainFault[]): PlainPlan {
  return { ...plan, units: plan.units.map((unit) => ({ ...unit, faults })) };
}

function leaksOf(plan: PlainPlan): number[] {
  const leaks: number[] = [];
  const reading = (_: string, __: number, { leak }: { readonly leak?: number }): void => {
    if (leak !== undefined) leaks.push(leak);
  };
  runPlain(plan, { ...nothing, reading });
  return leaks;
}

describe('a run of the second world', () => {
  it('is the same for the same seed, and another one for another', () => {
    const texts = [0, 0, 1].map((index) => {
      const lines: string[] = [];
      const truth = runPlain(planOf('track to ground, wye', index, 1), {
        reading: (unit, atMs, channels) => lines.push(JSON.stringify([unit, atMs, channels])),
        weather: (report) => lines.push(JSON.stringify(report)),
        service: (unit, visit) => lines.push(JSON.stringify([unit, visit])),
      });
      return lines.join('\n') + JSON.stringify(truth);
    });
    expect(texts[0]).toBe(texts[1]);
    expect(texts[0]).not.toBe(texts[2]);
  });

  it('gives each unit ascending times and humidities between 0 and 100', () => {
    for (const cohort of PLAIN_COHORTS) {
      const last = new Map<string, number>();
      let wrong = 0;
      runPlain(plainCase(cohort, 0, { weeks: 0.3, block: 0 }), {
        ...nothing,
        reading: (unit, atMs, { rh = -1, ia = -1 }) => {
          if (atMs <= (last.get(unit) ?? 0) || rh < 0 || rh > 100 || ia < 0) wrong += 1;
          last.set(unit, atMs);
        },
      });
      expect(last.size).toBeGreaterThan(0);
      expect(wrong).toBe(0);
    }
  });

  it('never holds more vapour than the air of the compartment can', () => {
    for (const name of ['water ingress', 'healthy, building-air', 'healthy, coil-washing']) {
      let most = 0;
      runPlain(planOf(name, 1, 2), {
        ...nothing,
        stepped: ({ inside }) => {
          most = Math.max(most, inside.vapourPascals / magnusPascals(inside.airCelsius));
        },
      });
      expect(most).toBeLessThanOrEqual(1);
      expect(most).toBeGreaterThan(0.3);
    }
  });
});

describe('faults of the second world', () => {
  it('have a track that carries more while it is wet than while it is dry', () => {
    const wet: number[] = [];
    const dry: number[] = [];
    const plan = planOf('track to ground, wye', 2, 4);
    const grown = plan.units[0]!.faults[0]!;
    if (grown.kind !== 'track-to-ground') throw new Error('not a track to ground');
    const steady = { ...grown, track: { ...grown.track, runawayHours: 1e9 } };
    runPlain(withFaults(plan, [steady]), {
      ...nothing,
      stepped: ({ tracks, inside }: PlainUnit) => {
        const milliamps = tracks[0]?.milliamps ?? 0;
        if (milliamps === 0) return;
        if (inside.surfacePercent > 95) wet.push(milliamps);
        if (inside.surfacePercent < 50) dry.push(milliamps);
      },
    });
    const mean = (list: readonly number[]): number =>
      list.reduce((sum, one) => sum + one, 0) / list.length;
    expect(wet.length).toBeGreaterThan(10);
    expect(dry.length).toBeGreaterThan(10);
    expect(mean(wet)).toBeGreaterThan(3 * mean(dry));
  });

  it('leave the leakage as it is while a track joins two poles', () => {
    const plan = planOf('pole to pole', 0, 2);
    const poles = plan.units[0]!.faults[0]!;
    if (poles.kind !== 'track-between-poles') throw new Error('not a track between poles');
    const harmless = { ...poles, track: { ...poles.track, flashMilliamps: 1e9 } };
    let most = 0;
    runPlain(withFaults(plan, [harmless]), {
      ...nothing,
      stepped: ({ residual, loads, tracks }) => {
        if (loads.running > 0 || (tracks[0]?.milliamps ?? 0) === 0) return;
        most = Math.max(most, residual.milliamps / residual.healthyMilliamps);
      },
    });
    expect(most).toBeGreaterThan(0);
    expect(most).toBeLessThan(2);
  });

  it('tell of load insulation only while its load runs', () => {
    const plan = planOf('load insulation', 0, 4);
    let shown = 0;
    const truth = runPlain(plan, {
      ...nothing,
      stepped: ({ loads, pages }) => {
        if (loads.running > 0) return;
        shown = Math.max(shown, pages[0]?.observableMs ?? 0);
      },
    });
    const [fault] = truth.units[0]!.faults;
    expect(fault?.side).toBe('load');
    if (fault?.observableMs != null) expect(fault.observableMs).toBeGreaterThan(fault.onsetMs);
    expect(leaksOf(plan).length).toBeGreaterThan(1000);
  });

  it('never show before their onset, nor fail before they show that they are there', () => {
    for (const cohort of PLAIN_COHORTS) {
      const truth = runPlain(plainCase(cohort, 3, { weeks: 0.7, block: 0 }), nothing);
      for (const { faults, visits } of truth.units) {
        if (cohort.healthy) expect(faults).toEqual([]);
        for (const { onsetMs, observableMs, failureMs, endedMs } of faults) {
          expect(observableMs ?? onsetMs).toBeGreaterThanOrEqual(onsetMs);
          expect(failureMs ?? onsetMs).toBeGreaterThanOrEqual(onsetMs);
          expect(endedMs ?? truth.endMs).toBeGreaterThan(onsetMs);
        }
        for (const { ended } of visits) {
          for (const index of ended) expect(faults[index]?.endedMs).not.toBeNull();
        }
      }
    }
  });
});

describe('the Magnus form', () => {
  it('comes back to the same dew point', () => {
    for (const celsius of [-30, -5, 0, 12, 35]) {
      expect(magnusDewPointCelsius(magnusPascals(celsius))).toBeCloseTo(celsius, 9);
    }
  });
});
