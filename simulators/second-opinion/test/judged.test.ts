import type { Alarm } from '@lineside/alarms';
import { BackTest } from '@lineside/judging';
import { scoreRun } from '@lineside/proving';
import { describe, expect, it } from 'vitest';
import { PLAIN_COHORTS, plainCase } from '../src/cohorts/plain-cohorts.ts';
import { runPlain } from '../src/run-plain.ts';

function judged(name: string) {
  const cohort = PLAIN_COHORTS.find((one) => one.name === name)!;
  const plan = plainCase(cohort, 0, { weeks: 4, block: 0 });
  const alarms = new Map<string, Alarm[]>(plan.fleet.units.map(({ id }) => [id, []]));
  const sink = {
    alarm: ({ id }: { readonly id: string }, alarm: Alarm) => alarms.get(id)?.push(alarm),
    episode: () => undefined,
    condition: () => undefined,
  };
  const backTest = new BackTest({ units: plan.fleet.units, conditionEveryMs: null, sink });
  const truth = runPlain(plan, {
    reading: (unit, atMs, channels) => backTest.reading('plain', unit, atMs, channels),
    weather: (report) => backTest.weather(report),
    service: () => undefined,
  });
  backTest.passed(plan.endMs);
  backTest.end();
  const findings = [...alarms].map(([unit, own]) => ({
    site: 'plain',
    unit,
    alarms: own,
    episodes: [],
    observedMs: null,
  }));
  return { truth, score: scoreRun(truth, findings) };
}

describe('the second world before the house', () => {
  it('has its lost fuses told of', () => {
    const { truth, score } = judged('fuses gone');
    expect(truth.units[0]?.faults[0]?.fusesOpened.length).toBeGreaterThan(1);
    expect(score.fusesGone.found).toMatchObject({ hits: 1, of: 1 });
  });

  it('has every fault known to the scorer', () => {
    for (const cohort of PLAIN_COHORTS) {
      const truth = runPlain(plainCase(cohort, 0, { weeks: 0.3, block: 0 }), {
        reading: () => undefined,
        weather: () => undefined,
        service: () => undefined,
      });
      expect(() => scoreRun(truth, [])).not.toThrow();
    }
  });
});
