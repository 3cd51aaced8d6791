import { appendFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { COHORTS } from '../src/cohorts/cohorts.ts';
import { proofPlans, unitWeeks } from '../src/cohorts/proof-sizes.ts';
import { TUNING } from '../src/cohorts/tuning-table.ts';
import { scoreUnits } from '../src/index.ts';
import { OutcomeStore, slimmed } from '../src/running/outcome-store.ts';
import { proofReport } from '../src/table/proof-report.ts';
import { sourceStamp } from '../src/table/source-stamp.ts';
import { alarm, FAILING_TRACK, observed } from './hand-made.ts';

const folder = mkdtempSync(join(tmpdir(), 'proof-'));
afterAll(() => rmSync(folder, { recursive: true }));

const told = observed({ faults: [FAILING_TRACK] }, [
  alarm('leakage', [{ priority: 'urgent', day: 30 }]),
]);
const OUTCOME = { cohort: 'track, drive', seed: 1, units: { lineside: [told] } };

describe('the plans of the proof', () => {
  const plans = proofPlans(TUNING, { cases: 200, block: 0 });
  const casesOf = (start: string) => plans.filter(({ cohort }) => cohort.startsWith(start)).length;

  it('have at least so many cases of each class, and more tracks than count', () => {
    expect(casesOf('track')).toBeGreaterThanOrEqual(300);
    for (const name of ['pole to pole', 'load insulation', 'water ingress', 'vermin']) {
      expect([name, casesOf(name)]).toEqual([name, 200]);
    }
    expect(casesOf('phase loss') + casesOf('hot fuse clip')).toBeGreaterThanOrEqual(200);
  });

  it('have at least 300 healthy unit-years, in equal parts', () => {
    const healthy = COHORTS.filter((cohort) => cohort.healthy !== null);
    const years = healthy.map(({ name }) => {
      return unitWeeks(plans.filter(({ cohort }) => cohort === name)) / 52.18;
    });
    expect(years.reduce((sum, one) => sum + one, 0)).toBeGreaterThanOrEqual(300);
    for (const one of years) expect(Math.abs(one - years[0]!)).toBeLessThan(0.6);
  });
});

describe('what a run keeps', () => {
  const file = pathToFileURL(join(folder, 'kept.ndjson'));

  it('is there for the same run, cut-off lines left out, and gone for another one', () => {
    new OutcomeStore(file, 'one').keep(4, OUTCOME);
    appendFileSync(file, '{"index":5,"outc');
    const again = new OutcomeStore(file, 'one');
    expect([again.get(4), again.get(5)]).toEqual([OUTCOME, null]);
    again.keep(6, OUTCOME);
    expect(new OutcomeStore(file, 'one').get(6)).toEqual(OUTCOME);
    expect(new OutcomeStore(file, 'other').get(4)).toBeNull();
  });

  it('scores as the whole did', () => {
    expect(scoreUnits(slimmed(OUTCOME).units['lineside'] ?? [])).toEqual(scoreUnits([told]));
  });
});

describe('the report', () => {
  it('names its command, seeds and sources, and has the goals with verdicts', () => {
    const stamp = { command: 'npm run x', day: '2026-01-05', block: 3, firstSeed: 7 };
    const text = proofReport([OUTCOME], 'lineside', { ...stamp, sources: { world: 'abc' } });
    expect(text).toMatch(/npm run x.*2026-01-05.*seeds from 7, block 3.*world abc/);
    expect(text).toMatch(/tracks to ground: urgent 24 h before +\| 95 % .*\| met/);
    expect(text).toMatch(/\| track, drive +\| 1 +\| 0\.3/);
  });

  it('stamps sources by what stands in them', () => {
    const world = sourceStamp(['simulators/rooftop/src']);
    expect(world).toMatch(/^[0-9a-f]{12}$/);
    expect(sourceStamp(['simulators/proving/src'])).not.toBe(world);
  });
});
