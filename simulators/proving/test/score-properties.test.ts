import type { Alarm } from '@lineside/alarms';
import { type FindingKind, PRIORITIES } from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  CLASS_RULES,
  classOf,
  FAULT_CLASSES,
  type ObservedUnit,
  type Score,
  scoreRun,
  scoreUnits,
} from '../src/index.ts';
import { alarm, DAYS, day, FAILING_TRACK, fault, observed, START_MS } from './hand-made.ts';

const FAULT_WORDS = [
  'load-insulation',
  'loose-terminal',
  'supply-unbalance',
  'open-fuse',
  'current-sensor-dead',
  'water-ingress',
  'node-dead',
] as const;

const faults = fc.oneof(
  fc.record({ shift: fc.integer({ min: -9, max: 20 }) }).map(({ shift }) => ({
    ...FAILING_TRACK,
    onsetMs: day(10 + shift),
    observableMs: day(20 + shift),
    observableWettingsMs: [day(20 + shift), day(45)],
  })),
  fc
    .record({ word: fc.constantFrom(...FAULT_WORDS), from: fc.integer({ min: 1, max: 90 }) })
    .map(({ word, from }) =>
      fault({ fault: word, onsetMs: day(from), observableMs: day(from + 1) }),
    ),
);

const KINDS: readonly FindingKind[] = ['leakage', 'moisture', 'unbalance', 'phase-loss', 'sensor'];

const alarms = fc
  .record({
    kind: fc.constantFrom(...KINDS),
    priority: fc.constantFrom(...PRIORITIES),
    at: fc.integer({ min: 0, max: 99 }),
    cause: fc.constantFrom('unknown', 'sensor-fault', 'line-side-track-to-ground' as const),
  })
  .map(({ kind, priority, at, cause }) => alarm(kind, [{ priority, day: at, cause }]));

const unit = fc
  .record({
    faults: fc.array(faults, { maxLength: 3 }),
    alarms: fc.array(alarms, { maxLength: 8 }),
  })
  .map((fields): ObservedUnit => observed({ faults: fields.faults }, fields.alarms));

const units = fc.array(unit, { minLength: 1, maxLength: 4 });

function recallHits(score: Score): number[] {
  return FAULT_CLASSES.flatMap((name) =>
    PRIORITIES.flatMap((priority) => [
      score.classes[name].recallBeforeFailure[priority].hits,
      score.classes[name].recallWhileThere[priority].hits,
    ]),
  );
}

/** The alarm that says all there is to say about a fault, as soon as it shows. */
function perfectAlarms({ truth }: ObservedUnit): Alarm[] {
  return truth.faults.map((one) => {
    const rules = CLASS_RULES[classOf(one)];
    const [kind] = Object.keys(rules.warns) as FindingKind[];
    const showsOnDay = ((one.observableMs ?? 0) - START_MS) / (day(1) - day(0));
    const side = rules.place === null ? {} : { side: rules.place };
    return alarm(kind!, [{ priority: 'emergency', day: showsOnDay, cause: rules.causes[0]! }], {
      evidence: side,
    });
  });
}

describe('a score', () => {
  it('is 1, and no place wrong, for a perfect list of alarms', () => {
    fc.assert(
      fc.property(units, (all) => {
        const score = scoreUnits(all.map((one) => ({ ...one, alarms: perfectAlarms(one) })));
        for (const name of FAULT_CLASSES) {
          const { recallBeforeFailure, recallWhileThere, causeRight, place } = score.classes[name];
          const shares = [recallBeforeFailure, recallWhileThere, causeRight].flatMap((by) =>
            PRIORITIES.map((priority) => by[priority]),
          );
          for (const { hits, of } of shares) expect(hits).toBe(of);
          expect(place.wrong.hits).toBe(0);
        }
        expect(score.falseAlarms.total).toBe(0);
      }),
    );
  });

  it('never has a higher recall after alarms are deleted', () => {
    fc.assert(
      fc.property(units, fc.nat(), (all, pick) => {
        const fewer = all.map((one) => ({
          ...one,
          alarms: one.alarms.filter((_, index) => (index + pick) % 3 !== 0),
        }));
        const before = recallHits(scoreUnits(all));
        const after = recallHits(scoreUnits(fewer));
        for (const [index, hits] of after.entries()) {
          expect(hits).toBeLessThanOrEqual(before[index]!);
        }
      }),
    );
  });

  it('has one more false alarm in its unit-years for one more that nothing explains', () => {
    fc.assert(
      fc.property(units, (all) => {
        // No fault of these units explains it on the first day, and nobody has swapped a fuse.
        const extra = alarm('repeat-fuse', [{ priority: 'routine', day: 0 }]);
        const [first, ...rest] = all;
        const more = [{ ...first!, alarms: [...first!.alarms, extra] }, ...rest];
        const before = scoreUnits(all).falseAlarms;
        const after = scoreUnits(more).falseAlarms;
        expect(after.perUnitYear! - before.perUnitYear!).toBeCloseTo(1 / before.unitYears, 9);
      }),
    );
  });

  it('is that of the run when the units are handed in by run', () => {
    const one = observed({ faults: [FAILING_TRACK] }, [
      alarm('leakage', [{ priority: 'urgent', day: 40 }]),
    ]);
    const run = { seed: 1, startMs: START_MS, endMs: day(DAYS), units: [one.truth] };
    const said = { site: 'test-site', unit: 'rtu-01', episodes: [], observedMs: null };
    expect(scoreRun(run, [{ ...said, alarms: one.alarms }])).toEqual(scoreUnits([one]));
  });

  it('refuses findings of a unit that the run does not have', () => {
    const run = { seed: 1, startMs: START_MS, endMs: day(DAYS), units: [] };
    const said = { site: 'a', unit: 'b', alarms: [], episodes: [], observedMs: null };
    expect(() => scoreRun(run, [said])).toThrow(/the run has no unit a\/b/);
  });
});
