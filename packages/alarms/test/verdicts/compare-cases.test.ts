import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  compareCases,
  type JudgedCase,
  type LabelledCase,
  SAME_CASE_WITHIN_MS,
} from '../../src/index.ts';

const HOUR_MS = 3_600_000;
const RAISED_MS = 1_000 * HOUR_MS;

function labelled(fields: Partial<LabelledCase> = {}): LabelledCase {
  return {
    site: 'mill',
    unit: 'rtu-01',
    kind: 'leakage',
    raisedAtMs: RAISED_MS,
    clearedAtMs: RAISED_MS + HOUR_MS,
    verdict: 'true',
    cause: null,
    saidAtMs: 0,
    ...fields,
  };
}

function judged(fields: Partial<JudgedCase> = {}): JudgedCase {
  const { site, unit, kind, raisedAtMs, clearedAtMs } = labelled();
  return { site, unit, kind, raisedAtMs, clearedAtMs, cause: 'unknown', ...fields };
}

const SPAN = { fromMs: 0, toMs: 2 * RAISED_MS, hasUnit: () => true };

describe('labelled cases beside another judging', () => {
  it('are raised again, or missed; false ones are still raised, or no longer', () => {
    const cases = [
      labelled(),
      labelled({ unit: 'rtu-02' }),
      labelled({ unit: 'rtu-03', verdict: 'false' }),
      labelled({ unit: 'rtu-04', verdict: 'false' }),
      labelled({ unit: 'rtu-05', verdict: 'unclear' }),
      labelled({ kind: 'moisture' }),
    ];
    const alarms = [
      judged(),
      judged({ unit: 'rtu-03' }),
      judged({ unit: 'rtu-02', kind: 'silent' }),
    ];
    expect(compareCases(cases, alarms, SPAN)).toEqual({
      counts: [
        expect.objectContaining({ kind: 'moisture', true: 1, raisedAgain: 0 }),
        {
          ...{ kind: 'leakage', true: 2, raisedAgain: 1, causeKnown: 0, causeNamed: 0 },
          ...{ false: 2, noLongerRaised: 1, unclear: 1, outside: 0 },
        },
      ],
      missed: [cases[1], cases[5]],
      raisedStill: [cases[2]],
    });
  });

  it.each([
    ['a day before it was raised', -SAME_CASE_WITHIN_MS - HOUR_MS, 1],
    ['earlier', -SAME_CASE_WITHIN_MS - HOUR_MS - 1, 0],
    ['a day after it cleared', SAME_CASE_WITHIN_MS + HOUR_MS, 1],
    ['later', SAME_CASE_WITHIN_MS + HOUR_MS + 1, 0],
  ])('are the same as an alarm of an hour %s', (_, afterMs, raisedAgain) => {
    const raisedAtMs = RAISED_MS + afterMs;
    const alarm = judged({ raisedAtMs, clearedAtMs: raisedAtMs + HOUR_MS });
    expect(compareCases([labelled()], [alarm], SPAN).counts[0]).toMatchObject({ raisedAgain });
  });

  it('say whether the cause that was found is named first', () => {
    const cases = [
      labelled({ cause: 'condensation' }),
      labelled({ unit: 'rtu-02', cause: 'open-fuse' }),
    ];
    const alarms = [judged({ cause: 'condensation' }), judged({ unit: 'rtu-02' })];
    const [counts] = compareCases(cases, alarms, SPAN).counts;
    expect(counts).toMatchObject({ raisedAgain: 2, causeKnown: 2, causeNamed: 1 });
  });

  it('count nowhere where there are no readings', () => {
    const span = {
      fromMs: RAISED_MS,
      toMs: RAISED_MS,
      hasUnit: (_: string, unit: string) => unit === 'rtu-01',
    };
    const cases = [
      labelled(),
      labelled({ unit: 'rtu-02' }),
      labelled({ raisedAtMs: RAISED_MS - 1 }),
      labelled({ raisedAtMs: RAISED_MS + 1 }),
    ];
    const { counts, missed } = compareCases(cases, [], span);
    expect(counts).toMatchObject([{ true: 1, raisedAgain: 0, outside: 3 }]);
    expect(missed).toEqual([cases[0]]);
  });

  it('take the newest verdict of an alarm, and each case counts once', () => {
    const words = fc.constantFrom('true' as const, 'false' as const, 'unclear' as const);
    const cases = fc.uniqueArray(fc.record({ saidAtMs: fc.nat({ max: 99 }), verdict: words }), {
      selector: ({ saidAtMs }) => saidAtMs,
      minLength: 1,
      maxLength: 6,
    });
    fc.assert(
      fc.property(cases, fc.boolean(), (said, isRaised) => {
        const list = said.map((one) => labelled(one));
        const newest = [...said].sort((a, b) => b.saidAtMs - a.saidAtMs)[0];
        const { counts } = compareCases(list, isRaised ? [judged()] : [], SPAN);
        const [count] = counts;
        expect(count?.[newest?.verdict ?? 'unclear']).toBe(1);
        expect((count?.true ?? 0) + (count?.false ?? 0) + (count?.unclear ?? 0)).toBe(1);
        expect(count?.raisedAgain).toBe(newest?.verdict === 'true' && isRaised ? 1 : 0);
        expect(count?.noLongerRaised).toBe(newest?.verdict === 'false' && !isRaised ? 1 : 0);
      }),
    );
  });
});
