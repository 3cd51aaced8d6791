import {
  CAUSES,
  type Cause,
  diagnose,
  FINDING_KINDS,
  type FindingKind,
  LEAST_PROBABLE,
  MARK_NAMES,
  MARKS,
  type MarkName,
  MOST_PROBABLE,
  updated,
} from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

/** One row for each cause: what it leaves behind, and what has to come first. */
const ROWS: readonly (readonly [
  what: string,
  kind: FindingKind,
  marks: readonly MarkName[],
  cause: Cause,
])[] = [
  [
    'a line-side track: at rest as well, wet, humid',
    'leakage',
    ['leaks-with-contactors-open', 'wet-now', 'answers-humidity'],
    'line-side-track-to-ground',
  ],
  [
    'a line-side track seen while running: rest leaked as well',
    'leakage',
    ['leaks-at-rest'],
    'line-side-track-to-ground',
  ],
  [
    'a track that wets: leakage answers at rest',
    'moisture',
    ['leakage-answers-the-wetting', 'answers-with-contactors-open', 'wetting-by-dew'],
    'line-side-track-to-ground',
  ],
  [
    'a pole-to-pole track: the same extra in two phases, only when wet',
    'phase-track',
    ['two-phases-alike-at-rest', 'only-when-wet'],
    'pole-to-pole-track',
  ],
  [
    'load-side insulation: nothing at rest, as humid as now',
    'leakage',
    ['not-at-rest-as-humid'],
    'load-insulation',
  ],
  [
    'load-side insulation: comes and goes with one stage, though the air is damp',
    'leakage',
    ['low-with-less-load', 'wet-now'],
    'load-insulation',
  ],
  ['a drive: its filter leaks in health', 'leakage', ['drive-filter'], 'unknown'],
  [
    'a drive at rest whose offset is not known',
    'leakage',
    ['leaks-with-contactors-open', 'drive-filter', 'baseline-not-learned'],
    'unknown',
  ],
  ['supply voltage unbalance, by voltage', 'unbalance', ['volts-unbalanced'], 'supply-voltage'],
  ['supply voltage unbalance, by current', 'unbalance', ['volts-explain-amps'], 'supply-voltage'],
  [
    'supply voltage unbalance, no voltages: every load shows it',
    'unbalance',
    ['uneven-at-every-stage'],
    'supply-voltage',
  ],
  ['a worn pole: volts even', 'unbalance', ['volts-even'], 'worn-pole-or-connection'],
  ['a worn pole: one load only', 'unbalance', ['even-at-another-stage'], 'worn-pole-or-connection'],
  [
    'one fuse open: nothing in one phase, the others up',
    'phase-loss',
    ['phase-carries-nothing', 'others-rose'],
    'open-fuse',
  ],
  ['one fuse open, by its voltage', 'phase-loss', ['phase-volts-gone'], 'open-fuse'],
  [
    'a pole that does not close: all volts there',
    'phase-loss',
    ['phase-carries-nothing', 'all-volts-there', 'others-rose'],
    'worn-pole-or-connection',
  ],
  [
    'a phase of the utility lost ahead of a transformer',
    'phase-loss',
    ['lost-ahead-of-transformer'],
    'utility-outage',
  ],
  [
    'a current sensor off: the load carries on',
    'phase-loss',
    ['phase-carries-nothing', 'others-did-not-rise'],
    'sensor-fault',
  ],
  [
    'fuses open: dead after a surge of leakage',
    'supply-loss',
    ['idle-current-gone', 'leakage-surged-before'],
    'open-fuse',
  ],
  [
    'fuses open or disconnect open',
    'supply-loss',
    ['idle-current-gone'],
    'disconnect-open-or-fuses-open',
  ],
  [
    'a utility outage: the site dies together',
    'supply-loss',
    ['idle-current-gone', 'neighbours-too'],
    'utility-outage',
  ],
  ['a node on its own supply, gone silent', 'silent', ['fed-from-elsewhere'], 'node-offline'],
  [
    'a node on 24 V of a unit that lost its fuses',
    'silent',
    ['fed-from-the-unit', 'neighbours-well'],
    'disconnect-open-or-fuses-open',
  ],
  ['a sensor fault', 'sensor', ['against-physics'], 'sensor-fault'],
  ['vermin: at once, and it stays', 'leakage', ['came-at-once-and-stays'], 'unknown'],
  [
    'water that got in',
    'moisture',
    ['vapour-excess-after-rain', 'rain-or-melt-lately'],
    'water-ingress',
  ],
  [
    'one fuse each time, and it leaks at rest',
    'repeat-fuse',
    ['one-fuse-opened', 'line-leakage-stands'],
    'line-side-track-to-ground',
  ],
  [
    'two fuses each time, and a pole track stands',
    'repeat-fuse',
    ['two-fuses-opened', 'pole-track-stands'],
    'pole-to-pole-track',
  ],
];

describe('what leaves which mark', () => {
  it.each(ROWS)('%s', (_what, kind, marks, cause) => {
    const [first] = diagnose(kind, marks);
    expect(first?.cause).toBe(cause);
    expect(first?.because.length).toBeGreaterThan(0);
  });

  it('leaves the side open where nothing tells it', () => {
    const [first] = diagnose('leakage', ['currents-unknown', 'baseline-not-learned']);
    expect(first?.cause).toBe('unknown');
    expect(first?.because).toContain('the phase currents are not known');
  });

  it('takes words with figures where the watch has them', () => {
    const seen = [{ mark: 'fell-with-load-off', words: 'fell from 12 to 1 mA' }] as const;
    expect(diagnose('leakage', seen)[0]?.because[0]).toBe('fell from 12 to 1 mA');
  });
});

const kinds = fc.constantFrom(...FINDING_KINDS);
const marks = fc.uniqueArray(fc.constantFrom(...MARK_NAMES), { maxLength: 8 });

function probabilityOf(causes: ReturnType<typeof diagnose>, cause: Cause): number {
  return causes.find((one) => one.cause === cause)?.probability ?? 0;
}

describe('stated probabilities', () => {
  it('lie within their bounds, sum to at most 1 and come most probable first', () => {
    fc.assert(
      fc.property(kinds, marks, (kind, seen) => {
        const stated = diagnose(kind, seen).map(({ probability }) => probability);
        expect(stated.length).toBeGreaterThan(0);
        expect(Math.min(...stated)).toBeGreaterThanOrEqual(LEAST_PROBABLE);
        expect(Math.max(...stated)).toBeLessThanOrEqual(MOST_PROBABLE);
        expect(stated.reduce((sum, one) => sum + one, 0)).toBeLessThanOrEqual(1 + 1e-9);
        expect(stated).toEqual(stated.toSorted((one, other) => other - one));
      }),
    );
  });

  it('do not depend on the order in which marks are told, nor on telling one twice', () => {
    fc.assert(
      fc.property(kinds, marks, (kind, seen) => {
        expect(diagnose(kind, seen.toReversed())).toEqual(diagnose(kind, seen));
        expect(diagnose(kind, [...seen, ...seen])).toEqual(diagnose(kind, seen));
      }),
    );
  });

  it('never fall for the cause that a mark speaks for most', () => {
    fc.assert(
      fc.property(kinds, marks, fc.constantFrom(...MARK_NAMES), (kind, seen, more) => {
        const group = MARKS[more].group;
        // Of one group only one counts: the new one may take the place of another.
        fc.pre(group === null || seen.every((one) => MARKS[one].group !== group));
        const before = diagnose(kind, seen);
        const after = diagnose(kind, [...seen, more]);
        const { factors } = MARKS[more];
        const most = Math.max(1, ...Object.values(factors));
        for (const cause of CAUSES) {
          if (cause === 'unknown' || factors[cause] !== most) continue;
          expect(probabilityOf(after, cause)).toBeGreaterThanOrEqual(probabilityOf(before, cause));
        }
      }),
    );
  });

  it('stay within the same bounds when evidence is taken in later', () => {
    fc.assert(
      fc.property(kinds, marks, marks, (kind, first, later) => {
        const stated = updated(kind, diagnose(kind, first), later);
        const probabilities = stated.map(({ probability }) => probability);
        expect(stated.length).toBeGreaterThan(0);
        expect(Math.min(...probabilities)).toBeGreaterThanOrEqual(LEAST_PROBABLE);
        expect(Math.max(...probabilities)).toBeLessThanOrEqual(MOST_PROBABLE);
        expect(probabilities.reduce((sum, one) => sum + one, 0)).toBeLessThanOrEqual(1 + 1e-9);
      }),
    );
  });
});
