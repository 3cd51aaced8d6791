import type { Priority } from '@lineside/anomaly';
import { poissonRate, type Rate } from '../scoring/poisson.ts';
import type { Proportion } from '../scoring/proportion.ts';
import type { Quartiles } from '../scoring/quartiles.ts';
import type { Score } from '../scoring/score.ts';
import type { TellableLossScore } from '../scoring/tellable-loss.ts';
import { share } from './goals.ts';

/** One line of the table of goals. */
export interface NumberRow {
  readonly title: string;
  /** `-` where none is set. */
  readonly goal: string;
  readonly value: string;
  readonly verdict: 'met' | 'not met' | '-';
}

/** What the rows are read from. */
export interface Scores {
  /** Units of all cohorts. */
  readonly all: Score;
  /** Healthy units, look-alikes included. */
  readonly healthy: Score;
  /** Healthy units with nothing beside them, of any fit. */
  readonly plain: Score;
  /** Healthy units with a look-alike. */
  readonly lookAlikes: Score;
}

/** All goals, with what was reached. An estimate meets a goal, its limits stand beside it. */
export function numberRows(scores: Scores): NumberRow[] {
  const { all } = scores;
  return [
    ...trackRows(all),
    shareRow('side, where said: right', all.sides.right, 0.97),
    shareRow('side said', all.sides.committed, 0.8),
    shareRow('wettings found', all.episodes.found, 0.97),
    shareRow('their source right', all.episodes.sourceRight, 0.9),
    ...lossRows('phase loss while running', 'two readings', all.tellablePhaseLoss),
    ...lossRows('fuses gone, where tellable', '10 minutes', all.tellableFuses),
    ...unbalanceRows(all),
    ...poleRows(all),
    ...falseRows(scores),
    ...brierRows(all),
  ];
}

function trackRows({ tracks }: Score): NumberRow[] {
  const { warningDays, warningShare } = tracks;
  const long = (warningDays?.median ?? 0) >= 10 || (warningShare?.median ?? 0) >= 2 / 3;
  return [
    shareRow('tracks to ground: urgent 24 h before', tracks.urgentInTime, 0.95),
    {
      title: 'their warning: days; share of the time since evidence',
      goal: '10 d or 2/3',
      value: `${median(warningDays, 'd')}; ${median(warningShare, '')}`,
      verdict: warningDays === null ? '-' : long ? 'met' : 'not met',
    },
    bare('their warning as urgent', both(tracks.urgentWarningDays, tracks.urgentWarningShare)),
    bare('time since evidence, at most to be had', median(tracks.evidenceDays, 'd')),
    bare('10 d or 2/3 reached, case by case', share(tracks.longEnough)),
  ];
}

function lossRows(title: string, within: string, score: TellableLossScore): NumberRow[] {
  return [
    shareRow(`${title}: told`, score.found, 0.99),
    shareRow(`${title}: told within ${within}`, score.inTime, 0.99),
    bare(`${title}: delay`, median(score.delayMinutes, 'min')),
    bare(`${title}: not tellable, not judged`, String(score.untellable)),
  ];
}

function unbalanceRows({ unbalance }: Score): NumberRow[] {
  const { raisedBelow } = unbalance;
  return [
    shareRow('unbalance 10 % above the stage for 15 min: told', unbalance.found, 0.99),
    shareRow('the same: told as urgent', unbalance.foundUrgent, 0.99),
    bare('the same: delay as urgent', median(unbalance.delayMinutes, 'min')),
    {
      title: 'unbalance below 4 %: units raised',
      goal: 'none',
      value: share(raisedBelow),
      verdict: raisedBelow.of === 0 ? '-' : raisedBelow.hits === 0 ? 'met' : 'not met',
    },
  ];
}

function poleRows({ classes }: Score): NumberRow[] {
  const { recallWhileThere, recallBeforeFailure, delayHours, neverObservable, cases } =
    classes['pole-to-pole-track'];
  const hits = recallWhileThere.routine.hits + recallBeforeFailure.routine.hits;
  const of = recallWhileThere.routine.of + recallBeforeFailure.routine.of;
  return [
    bare('pole-to-pole tracks above the floor: told', `${hits}/${of}`),
    bare('the same: after evidence', median(delayHours, 'h')),
    bare('pole-to-pole tracks below the floor', `${neverObservable}/${cases}`),
  ];
}

function brierRows({ causes: { brier, brierNewest } }: Score): NumberRow[] {
  const text = (value: number | null): string => (value === null ? '-' : value.toFixed(3));
  return [
    {
      title: 'Brier score of the leading cause',
      goal: '< 0.1',
      value: text(brier),
      verdict: brier === null ? '-' : brier < 0.1 ? 'met' : 'not met',
    },
    bare('the same at the newest step of each alarm', text(brierNewest)),
  ];
}

function falseRows({ healthy, plain, lookAlikes }: Scores): NumberRow[] {
  const urgent: readonly Priority[] = ['urgent', 'emergency'];
  return [
    rateRow('healthy units: urgent or emergency', rateOf(healthy, urgent), 0.1),
    rateRow('healthy units: routine', rateOf(healthy, ['routine']), 1.5),
    bare('of these, plain ones: urgent or emergency', rateText(rateOf(plain, urgent))),
    bare('of these, plain ones: routine', rateText(rateOf(plain, ['routine']))),
    bare('of these, look-alikes: urgent or emergency', rateText(rateOf(lookAlikes, urgent))),
    bare('of these, look-alikes: routine', rateText(rateOf(lookAlikes, ['routine']))),
  ];
}

function rateOf({ falseAlarms }: Score, priorities: readonly Priority[]): Rate {
  const count = priorities.reduce((sum, priority) => sum + falseAlarms.count[priority], 0);
  return poissonRate(count, falseAlarms.unitYears);
}

/** `0.08 (0.05-0.12), 24 in 301`: a unit-year, 95 % limits, alarms in unit-years. */
export function rateText({ count, unitYears, perUnitYear, low, high }: Rate): string {
  if (perUnitYear === null) return '-';
  const limits = `${low.toFixed(2)}-${high.toFixed(2)}`;
  return `${perUnitYear.toFixed(3)} (${limits}), ${count} in ${unitYears.toFixed(0)}`;
}

function rateRow(title: string, rate: Rate, most: number): NumberRow {
  const { perUnitYear } = rate;
  const verdict = perUnitYear === null ? '-' : perUnitYear <= most ? 'met' : 'not met';
  return { title: `${title}, a unit-year`, goal: `<= ${most}`, value: rateText(rate), verdict };
}

function shareRow(title: string, of: Proportion, least: number): NumberRow {
  const verdict = of.of === 0 ? '-' : of.hits >= least * of.of ? 'met' : 'not met';
  return { title, goal: `${(100 * least).toFixed(0)} %`, value: share(of), verdict };
}

function bare(title: string, value: string): NumberRow {
  return { title, goal: '-', value, verdict: '-' };
}

function both(days: Quartiles | null, shares: Quartiles | null): string {
  return `${median(days, 'd')}; ${median(shares, '')}`;
}

/** `12.1 d (8.2..20.4)`: median and quartiles. */
function median(values: Quartiles | null, unit: string): string {
  if (values === null) return '-';
  const figure = (value: number): string => value.toFixed(unit === '' ? 2 : 1);
  const middle = `${figure(values.median)} ${unit}`.trim();
  return `${middle} (${figure(values.lower)}..${figure(values.upper)})`;
}
