import type { CaseOutcome } from '../running/run-case.ts';
import { scoreEpisodes } from '../scoring/episode-score.ts';
import { type ObservedUnit, YEAR_MS } from '../scoring/observed-unit.ts';
import { poissonRate } from '../scoring/poisson.ts';
import { scoreUnits } from '../scoring/score.ts';
import { share } from './goals.ts';
import { healthyNames } from './healthy-names.ts';
import { markdownTable } from './markdown-table.ts';
import { type NumberRow, numberRows, rateText } from './numbers.ts';

/** Lines of the goals that the knowing detector says nothing about; the section tells why. */
const UNBOUNDED: readonly RegExp[] = [
  /^their source right/,
  /^healthy units: routine/,
  /^of these, /,
  /^Brier/,
  /^the same at the newest step/,
];

/**
 * What the detector that knows the world reached, by the title of each line of the goals; null when
 * it did not watch.
 */
export function idealCells(outcomes: readonly CaseOutcome[]): ((row: NumberRow) => string) | null {
  const ideals = outcomes.flatMap(({ ideal }) => (ideal === undefined ? [] : [ideal]));
  if (ideals.length === 0) return null;
  const all = scoreUnits(ideals.flatMap(({ units }) => units));
  const none = scoreUnits([]);
  const rows = numberRows({ all, healthy: none, plain: none, lookAlikes: none });
  const values = new Map(rows.map(({ title, value }) => [title, value]));
  const known = scoreEpisodes(ideals.flatMap(({ offsetsKnown }) => offsetsKnown));
  return ({ title }) => {
    if (UNBOUNDED.some((pattern) => pattern.test(title))) return '-';
    if (title.startsWith('healthy units: urgent')) {
      return `0.1 by its threshold; the limits of the trade alone: ${demandText(outcomes)}`;
    }
    if (title !== 'wettings found') return values.get(title) ?? '-';
    return `${values.get(title) ?? '-'}; offsets known ${share(known.found)}`;
  };
}

/** What the column `ideal` rests on. */
export function idealSection(outcomes: readonly CaseOutcome[]): string[] {
  const unheard = outcomes.reduce((sum, { ideal }) => sum + (ideal?.unheardWettings ?? 0), 0);
  const units = outcomes.flatMap(({ ideal }) => ideal?.units ?? []);
  return [
    '## What the ideal detector knows',
    '',
    'It is no detector that anybody could build. It knows the simulated world: its equations, all ' +
      'parameters of the unit, the weather, which loads run, and what each sensor would read but ' +
      'for its noise. It also knows the form, size and begin of the one fault that may be there. ' +
      'Hidden from it are the noise of the sensors, their resolution, and whether the fault is ' +
      'there. What it misses no detector can find; what it finds a real one may still miss.',
    '',
    '- Each case is played twice, with the fault and without, with the same noise. The difference ' +
      'over the noise, squared and halved, is what a reading adds to the logarithm of the ' +
      'likelihood ratio, and noise of its own is drawn for it. All currents and voltages that ' +
      'the node sends count, and sparks.',
    '- A fault is told of, as urgent at once, when the ratio reaches one over the chance of a false ' +
      'alarm that the goal leaves for the length of the run: 0.1 a unit-year. Noise alone ever ' +
      'reaches it with at most that chance (J. Ville 1939). It tests one known fault; a detector ' +
      'that must watch for all of them at any size needs more.',
    '- Sides: a sequential test with an error of 3 % each way (A. Wald 1945), on readings at which ' +
      'no load runs. A load fault is held against a line-side one of the current it last drew.',
    '- Unbalance: the excess over the same moment without the fault, told of when it has been ' +
      'above 7 % for 15 minutes of the same number of loads.',
    '- Losses: from the first reading on of a dead phase, by phase currents and voltages.',
    '- Wettings: the rule that the world itself uses, on humidity and temperatures as sent; after ' +
      'the semicolon on values without offset and fault of the sensors, with noise and creep only. ' +
      'The film of water, the wetting point of the dirt and, without a plate sensor, the ' +
      "plate's temperature are given to it. Errors are symmetric, so that the rule on the values as " +
      'they are is where wet and dry are about equally likely. It is a yardstick and no bound: ' +
      'who calls everything wet misses no wetting. The node was silent for more than half of ' +
      `${unheard} of the wettings that count.`,
    '- Left out: the source of a wetting (given the film it knows the source); routine alarms (it ' +
      'has one threshold); the Brier score (of one known fault against none it is the square of ' +
      'an error that its threshold chose).',
    '',
    'Look-alikes on healthy units, by what the world makes of them. Where the equation is that of ' +
      'a fault, only size, begin and end can tell them apart.',
    '',
    ...lookAlikeTable(units),
    '',
    'What the limits of the trade alone demand of healthy units. Whoever keeps them must call ' +
      'urgent what is for five minutes over 10 mA (100 mA beside a drive): on the first day, before ' +
      'a unit can be known, above the most that a sensor errs by (1 mA an ampere of load); later ' +
      'over 10 mA, and as far over what the same unit leaks beyond a healthy 3 mA without ' +
      'its look-alike. A unit counts once, however often it happens. The ideal detector, which ' +
      'tells look-alikes by their equations, need not keep them; ours has to.',
    '',
    ...demandTable(outcomes),
  ];
}

function demandText(outcomes: readonly CaseOutcome[]): string {
  const healthy = healthyNames().all;
  const own = outcomes.filter(({ cohort }) => healthy.has(cohort));
  return rateText(poissonRate(unitsOverLimits(own), unitYears(own)));
}

function unitsOverLimits(outcomes: readonly CaseOutcome[]): number {
  return outcomes.reduce((sum, { ideal }) => sum + (ideal?.unitsOverLimits ?? 0), 0);
}

function unitYears(outcomes: readonly CaseOutcome[]): number {
  const units = outcomes.flatMap(({ ideal }) => ideal?.units ?? []);
  return units.reduce((sum, { observedMs }) => sum + observedMs, 0) / YEAR_MS;
}

function demandTable(outcomes: readonly CaseOutcome[]): string[] {
  const rows = [...healthyNames().all].flatMap((name) => {
    const own = outcomes.filter(({ cohort }) => cohort === name);
    const units = own.flatMap(({ ideal }) => ideal?.units ?? []).length;
    const over = unitsOverLimits(own);
    return over === 0 ? [] : [[name, String(units), String(over)]];
  });
  return markdownTable(['cohort', 'units', 'over the limits'], rows);
}

/** The nearest fault, and what in the equations of the rooftop differs from it. */
const TOLD_BY: Readonly<Record<string, readonly [string, string]>> = {
  'surge-arrester': [
    'vermin',
    'nothing but size: both are a constant path from one phase to ground',
  ],
  'emi-filter': [
    'vermin',
    'its angle, so that it adds otherwise at rest and under load; not in `leakr`',
  ],
  'damp-heater': ['load insulation', 'falls within minutes of each start, where a fault grows'],
  'residual-load-error': ['load insulation', 'follows the amps of all loads; not in `leakr`'],
  'transformer-drift': ['none', 'follows the temperature'],
  'service-outlet': ['unbalance', 'adds its amps at rest too'],
  'neighbour-ground': ['track to ground', "shows on the neighbours' sensors as well"],
  'utility-outage': ['fuses gone', 'nothing on a unit alone; the neighbours are dead with it'],
  'safety-stop': ['fuses gone', 'control and heaters still draw'],
  'gateway-loss': ['node dead', 'nothing on a unit alone; the neighbours are silent with it'],
  'coil-washing': ['water ingress', 'disconnect and door are open'],
  'building-air': ['water ingress', 'no liquid from outside; follows the cold, not the rain'],
  'frozen-snow': ['water ingress', 'nothing while it melts: it is water that got in'],
};

function lookAlikeTable(units: readonly ObservedUnit[]): string[] {
  const counts = new Map<string, number>();
  for (const { truth } of units) {
    if (truth.faults.length > 0) continue;
    for (const name of new Set(truth.lookAlikes.map(({ lookAlike }) => lookAlike))) {
      counts.set(name, (counts.get(name) ?? 0) + 1);
    }
  }
  const rows = [...counts].map(([name, count]) => {
    const [fault, differs] = TOLD_BY[name] ?? ['-', '-'];
    return [name, String(count), fault, differs];
  });
  return markdownTable(['look-alike', 'units', 'nearest fault', 'what differs'], rows);
}
