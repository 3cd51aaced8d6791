import { type Alarm, type AlarmEvent, rfc3339 } from '@lineside/alarms';
import { adviceFor, PRIORITIES } from '@lineside/anomaly';
import type { Fleet, Unit } from '@lineside/fleet';
import type { PageLink, StoredJournalEntry } from '@lineside/storage';
import type { PageDoor } from '../dependencies.ts';
import type {
  PageAlarm,
  PageAlarmDetail,
  PageJournalLine,
  PageSite,
} from '../schemas/page-link.ts';
import { sitesById, unitKey } from './unit-json.ts';

/** Newest lines of an alarm's journal that are shown; the whole of it is on the dashboard. */
const JOURNAL_MOST_LINES = 12;

/** What stands first is worst: what is present, then by priority, then as the page names them. */
export function worstOfPage(link: PageLink, alarms: readonly Alarm[]): readonly Alarm[] {
  const place = new Map(link.alarmIds.map((id, index) => [id, index]));
  const placeOf = ({ id }: Alarm): number => place.get(id) ?? link.alarmIds.length;
  return alarms.toSorted(
    (one, other) =>
      Number(other.standing) - Number(one.standing) ||
      PRIORITIES.indexOf(other.priority) - PRIORITIES.indexOf(one.priority) ||
      placeOf(one) - placeOf(other),
  );
}

/** The sites of alarms, worst first, in the order to visit; those where all is over come last. */
export function pageSites(
  alarms: readonly Alarm[],
  fleet: Fleet,
  roofDanger: PageDoor['roofDanger'],
): readonly PageSite[] {
  const known = sitesById(fleet);
  const standing = new Map<string, number>();
  for (const alarm of alarms) {
    standing.set(alarm.site, (standing.get(alarm.site) ?? 0) + Number(alarm.standing));
  }
  return [...standing].map(([site, count]) => ({
    site,
    name: known.get(site)?.name ?? site,
    timezone: known.get(site)?.timezone ?? 'UTC',
    roofDanger: roofDanger(site),
    standing: count,
  }));
}

/** Units by `unitKey`. */
export function unitsByKey(fleet: Fleet): ReadonlyMap<string, Unit> {
  return new Map(fleet.units.map((unit) => [unitKey(unit.site, unit.id), unit]));
}

export function pageAlarm(alarm: Alarm, units: ReadonlyMap<string, Unit>): PageAlarm {
  return {
    id: alarm.id,
    site: alarm.site,
    unit: alarm.unit,
    unitName: units.get(unitKey(alarm.site, alarm.unit))?.name ?? alarm.unit,
    kind: alarm.kind,
    priority: alarm.priority,
    state: alarm.state,
    standing: alarm.standing,
    withdrawn: alarm.withdrawn,
    headline: alarm.headline,
    since: rfc3339(alarm.raisedAtMs),
    cleared: timeOrNull(alarm.clearedAtMs),
    acknowledged: timeOrNull(alarm.acknowledgedAtMs),
    acknowledgedBy: alarm.acknowledgedBy,
    shelvedUntil: timeOrNull(alarm.shelvedUntilMs),
    shelvedBy: alarm.shelvedBy,
    shelveReason: alarm.shelveReason,
  };
}

/** @param unit null when the fleet does not have it; then nothing of its nameplate is known. */
export function pageAlarmDetail(
  alarm: Alarm,
  unit: Unit | null,
  journal: readonly StoredJournalEntry[],
): PageAlarmDetail {
  return {
    id: alarm.id,
    causes: alarm.causes,
    ...adviceFor(alarm.causes, unit),
    access: unit?.access ?? null,
    fuses: { class: unit?.fuses.class ?? null, amps: unit?.fuses.amps ?? null },
    volts: unit?.supply.volts ?? null,
    journal: journalLines(journal),
  };
}

/** What judging anew does to an alarm is told by the alarm itself. */
const NOT_TOLD: ReadonlySet<AlarmEvent> = new Set(['revise', 'reconsider']);

function journalLines(journal: readonly StoredJournalEntry[]): readonly PageJournalLine[] {
  return journal
    .filter(({ event }) => !NOT_TOLD.has(event))
    .slice(-JOURNAL_MOST_LINES)
    .reverse()
    .map(({ atMs, event, by, note }) => ({ time: rfc3339(atMs), event, by, note }));
}

function timeOrNull(atMs: number | null): string | null {
  return atMs === null ? null : rfc3339(atMs);
}
