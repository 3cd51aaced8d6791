import type { Cause } from '../vocabulary.ts';

/**
 * What each piece of evidence says of each cause. How common each cause is before any stands in
 * `hypotheses.ts`.
 *
 * A factor says how many times as likely the mark is under a cause as it is in general: above 1
 * speaks for it, below 1 against it, and a cause that is not named has 1. All numbers here are
 * common practice, no source, unless the row says otherwise; the fitted corrections beside them
 * (`fitted-factors.ts`) say how they were made.
 */
export type Basis = 'common practice, no source' | 'fitted on simulated units';

const PRACTICE: Basis = 'common practice, no source';

export const MARK_NAMES = [
  // Where it leaks.
  'leaks-with-contactors-open',
  'leaks-at-rest',
  'not-at-rest-as-humid',
  'low-with-less-load',
  'fell-with-load-off',
  'stayed-with-load-off',
  'came-with-load',
  // What else leakage does.
  'wet-now',
  'answers-humidity',
  'ignores-humidity',
  'came-at-once-and-stays',
  'as-small-as-load-error',
  'drive-filter',
  'fault-current-limited',
  'baseline-not-learned',
  'currents-unknown',
  // Water.
  'vapour-excess-after-rain',
  'vapour-excess-in-dry-weather',
  'rain-or-melt-lately',
  'wetting-by-water',
  'wetting-by-dew',
  'wetting-by-weather',
  'wetting-source-unclear',
  'no-outdoor-reference',
  'leakage-answers-the-wetting',
  'answers-with-contactors-open',
  'door-open',
  // Phases.
  'volts-unbalanced',
  'volts-explain-amps',
  'volts-even',
  'volts-not-measured',
  'uneven-at-every-stage',
  'even-at-another-stage',
  'uneven-at-once',
  'uneven-by-and-by',
  'stage-not-learned',
  'lost-ahead-of-transformer',
  'phase-carries-nothing',
  'phase-volts-gone',
  'all-volts-there',
  'others-rose',
  'others-did-not-rise',
  'two-phases-alike-at-rest',
  'only-when-wet',
  // Dead or silent.
  'idle-current-gone',
  'leakage-surged-before',
  'vapour-came-in',
  'fuses-replaced-while-dead',
  'fed-from-the-unit',
  'fed-from-elsewhere',
  'neighbours-too',
  'neighbours-silent-too',
  'neighbours-well',
  // Fuses.
  'one-fuse-opened',
  'two-fuses-opened',
  'three-fuses-opened',
  'fuses-without-root-cause',
  // Other alarms of the unit.
  'line-leakage-stands',
  'load-leakage-stands',
  'nothing-leaks',
  'pole-track-stands',
  // Sensors.
  'sensor-suspect',
  'adds-as-a-number',
  'against-physics',
  'against-the-other-channels',
] as const;
export type MarkName = (typeof MARK_NAMES)[number];

export type Factors = Readonly<Partial<Record<Cause, number>>>;

export interface MarkRow {
  readonly factors: Factors;
  /**
   * Marks of one group tell the same thing in other ways: of those seen, the first in the table
   * counts. null: it stands by itself.
   */
  readonly group: string | null;
  /** What a technician reads where the watch gives no words with figures of its own. */
  readonly words: string;
  readonly basis: Basis;
}

function mark(words: string, factors: Factors, group: string | null = null): MarkRow {
  return { words, factors, group, basis: PRACTICE };
}

/** Within a group the one that settles more comes first. */
export const MARKS: Readonly<Record<MarkName, MarkRow>> = {
  'leaks-with-contactors-open': mark(
    'leaks with all contactors open',
    { 'line-side-track-to-ground': 10, 'load-insulation': 0.2 },
    'place',
  ),
  'leaks-at-rest': mark(
    'leaks at rest as well',
    { 'line-side-track-to-ground': 9, 'load-insulation': 0.3 },
    'place',
  ),
  'not-at-rest-as-humid': mark(
    'does not leak at rest, as humid as now',
    { 'load-insulation': 5, 'line-side-track-to-ground': 0.4 },
    'place',
  ),
  'low-with-less-load': mark(
    'low with less load or none, high with it',
    { 'load-insulation': 9, 'line-side-track-to-ground': 0.3 },
    'place',
  ),
  'fell-with-load-off': mark(
    'fell when load last went off',
    { 'load-insulation': 6, 'line-side-track-to-ground': 0.6 },
    'place',
  ),
  'stayed-with-load-off': mark(
    'stayed when load last went off',
    { 'line-side-track-to-ground': 5, 'load-insulation': 0.4 },
    'place',
  ),
  'came-with-load': mark(
    'came with a load',
    { 'load-insulation': 4, 'line-side-track-to-ground': 0.7 },
    'place',
  ),
  'wet-now': mark('the compartment is wet now', { 'line-side-track-to-ground': 2.5 }),
  'answers-humidity': mark(
    'rises with humidity',
    { 'line-side-track-to-ground': 3, 'load-insulation': 0.6 },
    'humidity',
  ),
  'ignores-humidity': mark(
    'the same in dry and humid air',
    { 'line-side-track-to-ground': 0.4, 'load-insulation': 1.5, unknown: 1.5 },
    'humidity',
  ),
  'came-at-once-and-stays': mark('came within minutes and holds still: a film does not', {
    unknown: 5,
    'sensor-fault': 4,
    'line-side-track-to-ground': 0.1,
  }),
  'as-small-as-load-error': mark('as small as the load error of a split-core sensor may be', {
    unknown: 2.5,
  }),
  'drive-filter': mark('the filter of a drive leaks tens of mA in health', {
    unknown: 8,
    'line-side-track-to-ground': 0.5,
    'load-insulation': 0.5,
  }),
  'fault-current-limited': mark(
    "on this supply a neighbour's ground fault raises healthy units too",
    { unknown: 2 },
  ),
  'baseline-not-learned': mark('no baseline is learned yet: only absolute limits apply', {
    unknown: 1.5,
  }),
  'currents-unknown': mark('the phase currents are not known', { unknown: 2 }),
  'vapour-excess-after-rain': mark(
    'more vapour inside than outside for two hours, beyond the error of both sensors',
    { 'water-ingress': 8 },
    'water',
  ),
  'vapour-excess-in-dry-weather': mark(
    'a day of wetness with more vapour inside than outside, in dry air',
    { 'water-ingress': 2.5, unknown: 2 },
    'water',
  ),
  'rain-or-melt-lately': mark('rain or a melt within the last day', { 'water-ingress': 1.5 }),
  'wetting-by-water': mark(
    'the wetting began as water that got in does',
    {
      'water-ingress': 20,
      condensation: 0.5,
      'humid-weather': 0.5,
      'line-side-track-to-ground': 0.6,
    },
    'wetting',
  ),
  'wetting-by-dew': mark(
    'the plate fell below the dew point of its air',
    { condensation: 4, 'water-ingress': 0.5 },
    'wetting',
  ),
  'wetting-by-weather': mark(
    'the air inside followed the air outside',
    { 'humid-weather': 4, 'water-ingress': 0.5 },
    'wetting',
  ),
  'wetting-source-unclear': mark('what wetted it is not clear', { unknown: 1.5 }),
  'no-outdoor-reference': mark('no outdoor station to compare with', { unknown: 1.5 }),
  'leakage-answers-the-wetting': mark('leakage rose at least threefold with the wetting', {
    'line-side-track-to-ground': 15,
  }),
  'answers-with-contactors-open': mark('with all contactors open', {
    'line-side-track-to-ground': 4,
  }),
  'door-open': mark('the door stands open', { unknown: 3 }),
  'volts-unbalanced': mark(
    'the line voltages themselves are unbalanced',
    { 'supply-voltage': 12, 'worn-pole-or-connection': 0.5 },
    'volts',
  ),
  'volts-explain-amps': mark(
    'the voltage unbalance explains that of the current',
    { 'supply-voltage': 6, 'worn-pole-or-connection': 0.6 },
    'volts',
  ),
  'volts-even': mark(
    'the voltages are even',
    { 'worn-pole-or-connection': 3, 'sensor-fault': 1.5, 'supply-voltage': 0.1 },
    'volts',
  ),
  'volts-not-measured': mark('the line voltages are not measured here', {
    'supply-voltage': 1.3,
    unknown: 1.3,
  }),
  'uneven-at-every-stage': mark(
    'every load shows it, in the same way',
    { 'supply-voltage': 4, 'sensor-fault': 1.5, 'worn-pole-or-connection': 0.8 },
    'stages',
  ),
  'even-at-another-stage': mark(
    'another stage of load runs evenly',
    { 'worn-pole-or-connection': 3, 'supply-voltage': 0.3 },
    'stages',
  ),
  'uneven-at-once': mark('far over the limit from the first time on: it came at once', {
    'supply-voltage': 2.5,
    'sensor-fault': 2,
    'worn-pole-or-connection': 0.6,
  }),
  'uneven-by-and-by': mark('just over the limit when first seen: it grew', {
    'worn-pole-or-connection': 1.7,
    'supply-voltage': 0.35,
    'sensor-fault': 0.3,
  }),
  'stage-not-learned': mark('what this running stage normally has is not learned yet', {
    unknown: 1.5,
  }),
  'lost-ahead-of-transformer': mark(
    'one phase double and two alike is a phase missing ahead of a transformer',
    { 'utility-outage': 25, 'open-fuse': 1.5 },
  ),
  'phase-carries-nothing': mark('one phase carries nothing', { 'open-fuse': 3 }),
  'phase-volts-gone': mark(
    'the voltage of that phase is gone',
    { 'open-fuse': 8, 'utility-outage': 3, 'worn-pole-or-connection': 0.3, 'sensor-fault': 0.1 },
    'phase-volts',
  ),
  'all-volts-there': mark(
    'all fuses pass voltage: open past them',
    { 'worn-pole-or-connection': 6, 'sensor-fault': 4, 'open-fuse': 0.1, 'utility-outage': 0.05 },
    'phase-volts',
  ),
  'others-rose': mark(
    'the other two currents rose as a motor on two phases draws',
    { 'open-fuse': 2, 'utility-outage': 1.5, 'worn-pole-or-connection': 1.5, 'sensor-fault': 0.1 },
    'others',
  ),
  'others-did-not-rise': mark(
    'the other two currents did not rise: the load carries on',
    { 'sensor-fault': 25, 'open-fuse': 0.6 },
    'others',
  ),
  'two-phases-alike-at-rest': mark('two phases carry the same extra with all contactors open', {
    'pole-to-pole-track': 4,
  }),
  'only-when-wet': mark('it comes and goes with the wet film, in more than one wetting', {
    'pole-to-pole-track': 3,
    'line-side-track-to-ground': 1.5,
  }),
  'idle-current-gone': mark('even the idle current is gone', {
    'disconnect-open-or-fuses-open': 2,
  }),
  'leakage-surged-before': mark('leakage surged within the hour before the unit died', {
    'open-fuse': 40,
    'utility-outage': 0.5,
  }),
  'vapour-came-in': mark('vapour came in as the power went: washing, or an open compartment', {
    'disconnect-open-or-fuses-open': 4,
    'open-fuse': 0.5,
    'utility-outage': 0.3,
  }),
  'fuses-replaced-while-dead': mark('somebody replaced fuses while it was dead', {
    'open-fuse': 30,
    'utility-outage': 0.3,
  }),
  'fed-from-the-unit': mark(
    "the node is fed from the unit's 24 V and falls silent when the fuses go",
    { 'disconnect-open-or-fuses-open': 10, 'utility-outage': 2 },
    'feed',
  ),
  'fed-from-elsewhere': mark(
    'the node has its own supply: it, that supply or its connection',
    { 'node-offline': 3, 'disconnect-open-or-fuses-open': 0.05 },
    'feed',
  ),
  'neighbours-too': mark(
    'other units of the site show the same at the same time',
    { 'utility-outage': 60, unknown: 6 },
    'neighbours',
  ),
  'neighbours-silent-too': mark(
    'other nodes of the site are silent as well',
    { 'node-offline': 8, 'utility-outage': 6 },
    'neighbours',
  ),
  'neighbours-well': mark(
    'other units of the site are well',
    {
      'open-fuse': 2,
      'disconnect-open-or-fuses-open': 2,
      'node-offline': 2,
      'utility-outage': 0.05,
    },
    'neighbours',
  ),
  'one-fuse-opened': mark(
    'one fuse opened: phase to ground',
    { 'line-side-track-to-ground': 2.5, 'load-insulation': 1.5 },
    'fuses',
  ),
  'two-fuses-opened': mark(
    'two fuses opened: pole to pole',
    { 'pole-to-pole-track': 3, 'line-side-track-to-ground': 1.2 },
    'fuses',
  ),
  'three-fuses-opened': mark(
    'three fuses opened: an arc that spread',
    { 'line-side-track-to-ground': 2, 'pole-to-pole-track': 2 },
    'fuses',
  ),
  'fuses-without-root-cause': mark('fuses were replaced and no root cause is recorded', {
    'line-side-track-to-ground': 1.5,
    'pole-to-pole-track': 1.5,
    'open-fuse': 2,
  }),
  'line-leakage-stands': mark(
    'it leaks to ground with contactors open',
    { 'line-side-track-to-ground': 8, 'load-insulation': 0.3 },
    'place',
  ),
  'load-leakage-stands': mark(
    'it leaks to ground under load only',
    { 'load-insulation': 6, 'line-side-track-to-ground': 0.5 },
    'place',
  ),
  'nothing-leaks': mark(
    'nothing leaked for two weeks, damp hours among them: a load may go to ground as it starts',
    { 'load-insulation': 3, 'pole-to-pole-track': 0.7, 'line-side-track-to-ground': 0.2 },
    'place',
  ),
  'pole-track-stands': mark('two phases carry an extra at rest when wet', {
    'pole-to-pole-track': 8,
  }),
  'sensor-suspect': mark('a sensor that this rests on is in doubt', {
    'sensor-fault': 3,
    unknown: 1.5,
  }),
  'adds-as-a-number': mark('it adds the same number under every load: currents add as vectors', {
    'sensor-fault': 40,
    'line-side-track-to-ground': 0.3,
    'load-insulation': 0.3,
  }),
  'against-physics': mark('nothing real reads like that', { 'sensor-fault': 8 }),
  'against-the-other-channels': mark('no other channel moved with it', { 'sensor-fault': 4 }),
};
