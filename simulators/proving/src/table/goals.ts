import { FINDING_KINDS } from '@lineside/anomaly';
import { BIN_EDGES } from '../scoring/cause-score.ts';
import type { FaultClass } from '../scoring/fault-classes.ts';
import type { Proportion } from '../scoring/proportion.ts';
import type { Quartiles } from '../scoring/quartiles.ts';
import type { Score } from '../scoring/score.ts';

/** One line of the table. */
export interface Goal {
  readonly section: string;
  readonly title: string;
  readonly cell: (score: Score) => string;
}

const SHOWN: readonly FaultClass[] = [
  'track-to-ground',
  'pole-to-pole-track',
  'load-insulation',
  'vermin',
  'water-ingress',
  'unbalance-in-unit',
  'unbalance-of-supply',
  'sensor-fault',
  'disconnect-open',
];

/** `12/14 86 % (60-96)`: hits, share and its 95 % interval. */
export function share({ hits, of, low, high }: Proportion): string {
  if (of === 0) return '-';
  const percent = (value: number): string => (100 * value).toFixed(0);
  return `${hits}/${of} ${percent(hits / of)} % (${percent(low)}-${percent(high)})`;
}

/** `48 (20..90)`: median and quartiles. */
export function spread(values: Quartiles | null): string {
  if (values === null) return '-';
  const digits = Math.abs(values.median) < 10 ? 1 : 0;
  const figure = (value: number): string => value.toFixed(digits);
  return `${figure(values.median)} (${figure(values.lower)}..${figure(values.upper)})`;
}

function rate(value: number | null): string {
  return value === null ? '-' : value.toFixed(2);
}

function classGoals(name: FaultClass): Goal[] {
  const section = name;
  const goals: Goal[] = [];
  const add = (title: string, cell: (of: Score['classes'][FaultClass]) => string): void => {
    goals.push({ section, title, cell: (score) => cell(score.classes[name]) });
  };
  add('cases / unseen / no wetting in time', (of) =>
    [of.cases, of.neverObservable, of.withoutWettingInTime].join(' / '),
  );
  if (name === 'track-to-ground' || name === 'pole-to-pole-track') {
    add('routine 24 h before failure', (of) => share(of.recallBeforeFailure.routine));
    add('urgent 24 h before failure', (of) => share(of.recallBeforeFailure.urgent));
    add('emergency before failure', (of) => share(of.recallBeforeFailure.emergency));
    add('warning before failure, h', (of) => spread(of.warningHours));
  }
  add('told while there, routine', (of) => share(of.recallWhileThere.routine));
  add('told while there, urgent', (of) => share(of.recallWhileThere.urgent));
  add('delay after evidence, h', (of) => spread(of.delayHours));
  add('cause right at routine', (of) => share(of.causeRight.routine));
  add('cause right at urgent', (of) => share(of.causeRight.urgent));
  if (['track-to-ground', 'pole-to-pole-track', 'load-insulation', 'vermin'].includes(name)) {
    add('place right', (of) => share(of.place.right));
    add('place wrong', (of) => share(of.place.wrong));
  }
  return goals;
}

const STATED_WORDS = BIN_EDGES.slice(0, -1).map(
  (from, index) => `${from.toFixed(1)} to ${(BIN_EDGES[index + 1] ?? 1).toFixed(1)}`,
);

/** All lines of the table that all cases together give. */
export const GOALS: readonly Goal[] = [
  ...SHOWN.flatMap(classGoals),
  ...[
    goal('losses', 'phase loss told', (score) => share(score.phaseLoss.found)),
    goal('losses', 'delay, min', (score) => spread(score.phaseLoss.delayMinutes)),
    goal('losses', 'fuses gone told', (score) => share(score.fusesGone.found)),
    goal('losses', 'delay, min', (score) => spread(score.fusesGone.delayMinutes)),
    goal('wettings', 'found', (score) => share(score.episodes.found)),
    goal('wettings', 'source right', (score) => share(score.episodes.sourceRight)),
    goal('wettings', 'false, a unit-year', (score) => rate(score.episodes.falsePerUnitYear)),
  ],
  ...causeGoals(),
  ...falseGoals('all units'),
  ...[
    goal('chatter', 'alarms', (score) => String(score.chatter.alarms)),
    goal('chatter', 'raises an alarm', (score) => rate(score.chatter.raisesPerAlarm)),
    goal('chatter', 'raises a unit-month', (score) => rate(score.chatter.raisesPerUnitMonth)),
    goal('chatter', 'repeats within 24 h', (score) => String(score.chatter.repeatsWithinDay)),
  ],
];

/** The lines that healthy units give. */
export const HEALTHY_GOALS: readonly Goal[] = falseGoals('healthy units');

/** How far stated probabilities of the leading cause come true. */
function causeGoals(): Goal[] {
  const section = 'leading cause';
  const figure = (value: number | null | undefined): string => value?.toFixed(3) ?? '-';
  return [
    goal(section, 'Brier score, each step', ({ causes }) => figure(causes.brier)),
    goal(section, 'Brier score, newest', ({ causes }) => figure(causes.brierNewest)),
    ...FINDING_KINDS.map((kind) =>
      goal(section, `Brier score, ${kind}`, ({ causes }) => {
        const own = causes.brierByKind[kind];
        return own === undefined ? '-' : `${figure(own.brier)} of ${own.of}`;
      }),
    ),
    ...STATED_WORDS.map((words, index) =>
      goal(section, `stated as ${words}: right`, ({ causes }) => {
        const bin = causes.bins[index];
        if (bin === undefined || bin.stated === null) return '-';
        return `${bin.stated.toFixed(2)}: ${share(bin.right)}`;
      }),
    ),
  ];
}

function falseGoals(section: string): Goal[] {
  const perYear = (count: number, { falseAlarms }: Score): string =>
    rate(falseAlarms.unitYears > 0 ? count / falseAlarms.unitYears : null);
  return [
    goal(section, 'unit-years', (score) => rate(score.falseAlarms.unitYears)),
    goal(section, 'false routine, a unit-year', (score) =>
      perYear(score.falseAlarms.count.routine, score),
    ),
    goal(section, 'false urgent, a unit-year', (score) =>
      perYear(score.falseAlarms.count.urgent, score),
    ),
    goal(section, 'false emergency, a unit-year', (score) =>
      perYear(score.falseAlarms.count.emergency, score),
    ),
  ];
}

function goal(section: string, title: string, cell: Goal['cell']): Goal {
  return { section, title, cell };
}
