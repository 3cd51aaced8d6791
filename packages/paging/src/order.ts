import { PRIORITIES } from '@lineside/anomaly';
import type { PagedAlarm } from './paging-state.ts';

/** One stop of a round: a site with its alarms, the worst first. */
export interface Stop {
  readonly site: string;
  readonly alarms: readonly PagedAlarm[];
}

/** The worst first: by priority, severity, how long it stands, and name. */
export function worstFirst(alarms: readonly PagedAlarm[]): readonly PagedAlarm[] {
  return [...alarms].sort(compareWorst);
}

/** The first one of `worstFirst`; null of none. */
export function worstOf(alarms: readonly PagedAlarm[]): PagedAlarm | null {
  return alarms.reduce<PagedAlarm | null>(
    (worst, alarm) => (worst === null || compareWorst(alarm, worst) < 0 ? alarm : worst),
    null,
  );
}

function compareWorst(a: PagedAlarm, b: PagedAlarm): number {
  return (
    PRIORITIES.indexOf(b.priority) - PRIORITIES.indexOf(a.priority) ||
    b.severity - a.severity ||
    a.sinceMs - b.sinceMs ||
    compareText(a.id, b.id)
  );
}

/**
 * In what order to visit: the site with the worst alarm first, and all that is to be done there
 * before the next one. Ways between sites are not weighed.
 */
export function visitingOrder(alarms: readonly PagedAlarm[]): readonly Stop[] {
  const bySite = new Map<string, PagedAlarm[]>();
  for (const alarm of worstFirst(alarms)) {
    const there = bySite.get(alarm.site);
    if (there === undefined) bySite.set(alarm.site, [alarm]);
    else there.push(alarm);
  }
  return [...bySite].map(([site, there]) => ({ site, alarms: there }));
}

function compareText(a: string, b: string): number {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}
