import { FINDING_KINDS, type FindingKind, PRIORITIES, type Priority } from '@lineside/anomaly';
import { describe, expect, it } from 'vitest';
import { type Alarm, SUPPRESSION_RULES, suppressedBy, suppressionReason } from '../../src/index.ts';
import { alarmAfter, opened, RAISED_MS } from '../sample-alarm.ts';

function standing(kind: FindingKind, priority: Priority = 'urgent', fields = {}): Alarm {
  return { ...alarmAfter([opened(RAISED_MS, priority)]), id: kind, kind, ...fields };
}

const SUPPRESSED: readonly (readonly [FindingKind, FindingKind])[] = [
  ['supply-loss', 'phase-loss'],
  ['supply-loss', 'unbalance'],
  ['phase-loss', 'unbalance'],
  ['silent', 'sensor'],
];

describe('suppression by design', () => {
  it.each(SUPPRESSED)('while %s stands, %s says nothing new', (by, what) => {
    const other = standing(by);
    expect(suppressedBy(standing(what), [standing('leakage'), other])).toBe(other);
    expect(suppressionReason(by, what)).toMatch(/^[a-z].*[a-z]$/);
  });

  it('is written down for these pairs and no others', () => {
    const pairs = FINDING_KINDS.flatMap((by) =>
      FINDING_KINDS.filter((what) => suppressedBy(standing(what), [standing(by)]) !== null).map(
        (what) => `${by} ${what}`,
      ),
    );
    expect(pairs.sort()).toEqual(SUPPRESSED.map((pair) => pair.join(' ')).sort());
    expect(SUPPRESSION_RULES).toHaveLength(SUPPRESSED.length);
  });

  it('never takes water, tracks or blown fuses, whatever stands beside them', () => {
    const all = FINDING_KINDS.map((kind) => standing(kind, 'emergency'));
    for (const kind of ['moisture', 'leakage', 'phase-track', 'repeat-fuse', 'silent'] as const) {
      expect(suppressedBy(standing(kind, 'routine'), all)).toBeNull();
    }
  });

  it('never takes what is more urgent than the other', () => {
    for (const [own, ownPriority] of PRIORITIES.entries()) {
      for (const [other, otherPriority] of PRIORITIES.entries()) {
        const by = suppressedBy(standing('phase-loss', ownPriority), [
          standing('supply-loss', otherPriority),
        ]);
        expect(by === null).toBe(own > other);
      }
    }
  });

  it.each([
    ['has cleared', { standing: false, clearedAtMs: RAISED_MS + 1 }],
    ['is withdrawn', { withdrawn: true }],
    ['is of another unit', { unit: 'rtu-02' }],
    ['is of another site', { site: 'north-depot' }],
  ])('ends when the other %s', (_, fields) => {
    const other = standing('supply-loss', 'emergency', fields);
    expect(suppressedBy(standing('unbalance'), [other])).toBeNull();
  });

  it('holds while the other is acknowledged, shelved or out of service', () => {
    for (const state of ['acknowledged', 'shelved', 'out-of-service'] as const) {
      const other = standing('supply-loss', 'urgent', { state });
      expect(suppressedBy(standing('unbalance'), [other])).toBe(other);
    }
  });
});
