import type { Priority } from '@lineside/anomaly';
import type { AlarmJournalEntry } from '../alarm.ts';
import { type AlarmHistory, alarmHistory } from './alarm-history.ts';
import { chatteringPoints, mostFrequent, type PointCount } from './alarm-points.ts';
import { figuresByPriority, type PriorityFigures } from './by-priority.ts';
import { floodedMs, floodsOf } from './floods.ts';
import { groupBy } from './group-by.ts';
import { type AlarmRates, alarmRates } from './rates.ts';
import { type StaleFigures, staleFigures } from './stale.ts';
import { checkWindow, type FiguresWindow, isIn } from './windows.ts';

/** Whose alarms: everybody's, one site's, or those that one operator position answers. */
export type FiguresScope =
  | { readonly kind: 'fleet' }
  | { readonly kind: 'site'; readonly site: string }
  | { readonly kind: 'position'; readonly position: string };

export interface AlarmFigures extends AlarmRates {
  readonly scope: FiguresScope;
  /** Share of 10-minute spans with more than ten alarms, 0 to 1. */
  readonly shareOfSpansOverTen: number;
  readonly floods: number;
  readonly floodedMs: number;
  readonly shareOfTimeFlooded: number;
  /** At most ten, the most frequent first. */
  readonly mostFrequent: readonly PointCount[];
  /** Their share of all alarms, 0 to 1; null without alarms. */
  readonly shareOfMostFrequent: number | null;
  readonly chattering: readonly PointCount[];
  readonly stale: StaleFigures;
  readonly byPriority: Readonly<Record<Priority, PriorityFigures>>;
}

/**
 * Figures of the alarm system after ANSI/ISA-18.2, IEC 62682 and EEMUA 191 over the journal: first
 * the whole fleet, then each position, then each site, in order of name. They do not depend on the
 * order of the entries. An alarm counts each time it is presented (see `Annunciation`); one that
 * was withdrawn later counts too, since people had it before them.
 *
 * @param entries also those before the window, as far back as alarms stand in it, and those after
 *   it, so that late acknowledgements count.
 * @param positionBySite which operator position (the team on call) answers a site's alarms; sites
 *   that it leaves out have no position.
 * @throws RangeError for a window that is empty, not whole or longer than 366 days.
 */
export function alarmFigures(
  entries: Iterable<AlarmJournalEntry>,
  window: FiguresWindow,
  positionBySite: ReadonlyMap<string, string> = new Map(),
): readonly AlarmFigures[] {
  checkWindow(window);
  const history = alarmHistory(entries);
  const sites = inOrder([
    ...positionBySite.keys(),
    ...history.annunciations.map(({ site }) => site),
    ...history.standings.map(({ site }) => site),
  ]);
  const figures = [figuresOf({ kind: 'fleet' }, history, window)];
  const byPosition = split(history, (site) => positionBySite.get(site));
  for (const position of inOrder(positionBySite.values())) {
    const part = byPosition.get(position) ?? NOTHING;
    figures.push(figuresOf({ kind: 'position', position }, part, window));
  }
  const bySite = split(history, (site) => site);
  for (const site of sites) {
    figures.push(figuresOf({ kind: 'site', site }, bySite.get(site) ?? NOTHING, window));
  }
  return figures;
}

const NOTHING: AlarmHistory = { annunciations: [], standings: [] };

function inOrder(names: Iterable<string>): readonly string[] {
  return [...new Set(names)].sort();
}

/** The parts of a history by what a site belongs to, each still in order of time. */
function split(
  history: AlarmHistory,
  nameOf: (site: string) => string | undefined,
): ReadonlyMap<string, AlarmHistory> {
  const annunciations = groupBy(history.annunciations, ({ site }) => nameOf(site));
  const standings = groupBy(history.standings, ({ site }) => nameOf(site));
  const parts = new Map<string, AlarmHistory>();
  for (const name of [...annunciations.keys(), ...standings.keys()]) {
    if (name === undefined) continue;
    parts.set(name, {
      annunciations: annunciations.get(name) ?? [],
      standings: standings.get(name) ?? [],
    });
  }
  return parts;
}

function figuresOf(
  scope: FiguresScope,
  { annunciations, standings }: AlarmHistory,
  window: FiguresWindow,
): AlarmFigures {
  const inside = annunciations.filter(({ atMs }) => isIn(window, atMs));
  const rates = alarmRates(timesOf(inside), window);
  const floods = floodsOf(timesOf(annunciations)).filter(
    ({ fromMs, toMs }) => fromMs < window.toMs && toMs > window.fromMs,
  );
  const flooded = floodedMs(floods, window);
  const frequent = mostFrequent(inside);
  const frequentAlarms = frequent.reduce((sum, { alarms }) => sum + alarms, 0);
  return {
    scope,
    ...rates,
    shareOfSpansOverTen: rates.spansOverTen / rates.spans,
    floods: floods.length,
    floodedMs: flooded,
    shareOfTimeFlooded: flooded / (window.toMs - window.fromMs),
    mostFrequent: frequent,
    shareOfMostFrequent: inside.length === 0 ? null : frequentAlarms / inside.length,
    chattering: chatteringPoints(annunciations, window),
    stale: staleFigures(standings, window),
    byPriority: figuresByPriority(inside),
  };
}

function timesOf(annunciations: AlarmHistory['annunciations']): readonly number[] {
  return annunciations.map(({ atMs }) => atMs);
}
