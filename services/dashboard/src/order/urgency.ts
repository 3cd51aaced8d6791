import type { Alarm, Priority, Unit } from '../api/types.ts';
import { groupBy } from './group-by.ts';

/** Why a unit stands where it stands in the list, most pressing first. */
const NEEDS = [
  'emergency',
  'urgent',
  'routine',
  'returned',
  'shelved',
  'wetting',
  'quiet',
  'no-readings',
] as const;
export type Need = (typeof NEEDS)[number];

const NEED_HEADINGS: Readonly<Record<Need, string>> = {
  emergency: 'Emergency: somebody is needed now',
  urgent: 'Urgent: needs a visit soon',
  routine: 'Routine: belongs to the next visit',
  returned: 'Back to normal by itself, nobody has acknowledged it',
  shelved: 'Set aside: shelved, suppressed, or out of service with the unit',
  wetting: 'Getting wet now, without an alarm',
  quiet: 'Nothing to do; least margin to the dew point first',
  'no-readings': 'No readings yet',
};

export interface Entry {
  readonly unit: Unit;
  readonly need: Need;
  /** The alarm that decides, null when there is none. */
  readonly lead: Alarm | null;
  /** All alarms of the unit that are not normal, most pressing first. */
  readonly alarms: readonly Alarm[];
}

const PRIORITY_RANK: Readonly<Record<Priority, number>> = { emergency: 0, urgent: 1, routine: 2 };

const PUT_ASIDE = new Set(['shelved', 'suppressed', 'out-of-service']);

export const isOpen = (alarm: Alarm): boolean => alarm.state !== 'normal';
export const isStanding = (alarm: Alarm): boolean => isOpen(alarm) && alarm.standing;

/** Whether an alarm is to be announced: it is new, or rose, and nobody has acknowledged it. */
export function isNews(before: Alarm | undefined, alarm: Alarm): boolean {
  const isMore =
    before === undefined || PRIORITY_RANK[alarm.priority] < PRIORITY_RANK[before.priority];
  return isMore && isStanding(alarm) && alarm.state === 'unacknowledged';
}

/** Where one alarm puts its unit. */
export function needOfAlarm(alarm: Alarm): Need {
  if (PUT_ASIDE.has(alarm.state)) return 'shelved';
  return isStanding(alarm) ? alarm.priority : 'returned';
}

/** Most pressing first: need, then not acknowledged, then priority, then the newest raise. */
export function compareAlarms(left: Alarm, right: Alarm): number {
  return (
    NEEDS.indexOf(needOfAlarm(left)) - NEEDS.indexOf(needOfAlarm(right)) ||
    Number(left.acknowledged !== null) - Number(right.acknowledged !== null) ||
    PRIORITY_RANK[left.priority] - PRIORITY_RANK[right.priority] ||
    right.raised.localeCompare(left.raised) ||
    left.id.localeCompare(right.id)
  );
}

/** Places one unit by its open alarms, else by what its compartment does. */
export function entryOf(unit: Unit, alarmsOfUnit: readonly Alarm[]): Entry {
  const alarms = alarmsOfUnit.filter(isOpen).sort(compareAlarms);
  const lead = alarms[0] ?? null;
  if (lead !== null) return { unit, need: needOfAlarm(lead), lead, alarms };
  if (unit.condition?.wetting) return { unit, need: 'wetting', lead, alarms };
  return { unit, need: unit.lastReading === null ? 'no-readings' : 'quiet', lead, alarms };
}

/** In whole kelvin, so that rows do not change places with every reading. */
const marginOf = (entry: Entry): number =>
  Math.floor(entry.unit.condition?.dewPointMarginKelvin ?? Number.POSITIVE_INFINITY);

const names = new Intl.Collator('en', { numeric: true });

function compareMargins(left: Entry, right: Entry): number {
  const difference = marginOf(left) - marginOf(right);
  return Number.isNaN(difference) ? 0 : difference;
}

/** The order of the list: need, then the alarm that decides, then the dew-point margin. */
function compareEntries(left: Entry, right: Entry): number {
  const byNeed = NEEDS.indexOf(left.need) - NEEDS.indexOf(right.need);
  if (byNeed !== 0) return byNeed;
  const byAlarm =
    left.lead !== null && right.lead !== null ? compareAlarms(left.lead, right.lead) : 0;
  return (
    byAlarm ||
    compareMargins(left, right) ||
    names.compare(left.unit.siteName, right.unit.siteName) ||
    names.compare(left.unit.name, right.unit.name)
  );
}

/** All units that are in service, each placed, in order. */
export function inOrderOfNeed(units: Iterable<Unit>, alarms: Iterable<Alarm>): readonly Entry[] {
  const byUnit = groupBy(alarms, ({ site, unit }) => `${site}/${unit}`);
  return [...units]
    .filter(({ retired }) => !retired)
    .map((unit) => entryOf(unit, byUnit.get(`${unit.site}/${unit.unit}`) ?? []))
    .sort(compareEntries);
}

export interface Group {
  readonly key: string;
  readonly heading: string;
  readonly entries: readonly Entry[];
}

/** Entries under the heading of their need, or of their site (the neediest site first). */
export function grouped(entries: readonly Entry[], by: 'need' | 'site'): readonly Group[] {
  if (by === 'need') {
    const byNeed = groupBy(entries, ({ need }) => need);
    return [...byNeed].map(([need, members]) => ({
      key: need,
      heading: NEED_HEADINGS[need],
      entries: members,
    }));
  }
  const bySite = groupBy(entries, ({ unit }) => unit.site);
  return [...bySite].map(([site, members]) => ({
    key: site,
    heading: members[0]?.unit.siteName ?? site,
    entries: members,
  }));
}

/** Entries whose unit or site, by name or id, has every word of `text`. */
export function matching(entries: readonly Entry[], text: string): readonly Entry[] {
  const words = text.toLowerCase().split(/\s+/).filter(Boolean);
  if (words.length === 0) return entries;
  return entries.filter(({ unit }) => {
    const searched = `${unit.name} ${unit.unit} ${unit.siteName} ${unit.site}`.toLowerCase();
    return words.every((word) => searched.includes(word));
  });
}
