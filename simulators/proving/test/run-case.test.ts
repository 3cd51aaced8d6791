import { describe, expect, it } from 'vitest';
import { COHORTS, caseOf } from '../src/cohorts/cohorts.ts';
import { TUNING } from '../src/cohorts/tuning-table.ts';
import { FAULT_CLASSES, scoreUnits } from '../src/index.ts';
import { RIVAL_NAMES } from '../src/rivals/rival.ts';
import { judgingsOf } from '../src/running/batch.ts';
import { runCase } from '../src/running/run-case.ts';
import { readTuned } from '../src/tuning/tuned-file.ts';

const tuned = readTuned();
const RIVALS = RIVAL_NAMES.map((name) => ({ name, settings: tuned[name] }));
const WEEKS = 1 / 7;

describe('a case', () => {
  it.each(COHORTS)('of the cohort "$name" runs, is judged by all and can be scored', (cohort) => {
    const plan = caseOf(TUNING, cohort, 0, { weeks: WEEKS, block: 2 });
    const { units } = runCase(plan, judgingsOf(RIVALS));
    expect(Object.keys(units)).toEqual(['lineside', ...RIVAL_NAMES]);
    const truths = Object.values(units).map((of) => of.map(({ truth }) => truth));
    for (const truth of truths) expect(truth).toEqual(truths[0]);
    for (const of of Object.values(units)) {
      const score = scoreUnits(of);
      const owed = FAULT_CLASSES.filter((name) => {
        return cohort.healthy === null || name !== 'no-warning-owed';
      });
      const cases = owed.reduce((sum: number, name) => sum + score.classes[name].cases, 0);
      expect(cases === 0).toBe(cohort.healthy !== null);
    }
  });

  it('is the same to the last alarm when it runs again', () => {
    const plan = caseOf(TUNING, COHORTS[0]!, 1, { weeks: 3 / 7, block: 2 });
    const [one, other] = [0, 1].map(() => runCase(plan, judgingsOf(RIVALS)));
    expect(one).toEqual(other);
  });

  it('refuses a rival with our name', () => {
    const [first] = RIVALS;
    expect(() => judgingsOf([{ ...first!, name: 'lineside' }])).toThrow(/no rival may be called/);
  });
});
