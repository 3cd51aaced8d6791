import type { WettingSource } from '@lineside/anomaly';
import { comparePlaces, type UnitPlace } from './place.ts';
import type { ServiceLine, UnitReview } from './unit-review.ts';

/** What can stand in a timeline, what matters most first. */
export const TIMELINE_KINDS = [
  'alarm',
  'service',
  'acknowledged',
  'cleared',
  'wet',
  'dry',
] as const;
export type TimelineKind = (typeof TIMELINE_KINDS)[number];

/** One line of a timeline. */
export interface TimelineLine extends UnitPlace {
  readonly atMs: number;
  readonly kind: TimelineKind;
  readonly words: string;
}

/** Lines that a timeline has at most: more is no story that somebody reads, nor a small answer. */
const TIMELINE_MOST_LINES = 1_000;

export interface Timeline {
  /** Oldest first. */
  readonly lines: readonly TimelineLine[];
  /** Lines left out, those that matter least. */
  readonly leftOut: number;
}

const SOURCE_WORDS: Readonly<Record<WettingSource, string>> = {
  'water-ingress': 'Water got in',
  condensation: 'Condensation',
  'humid-weather': 'Damp air',
};

/** What happened to the units of a storm, oldest first. */
export function timelineOf(
  units: readonly UnitReview[],
  service: readonly ServiceLine[],
): Timeline {
  const all = [
    ...units.flatMap(wettingLines),
    ...units.flatMap(alarmLines),
    ...service.map(serviceLine),
  ];
  const byWeight = all.toSorted(
    (one, other) => weight(one.kind) - weight(other.kind) || compareLines(one, other),
  );
  return {
    lines: byWeight.slice(0, TIMELINE_MOST_LINES).sort(compareLines),
    leftOut: Math.max(0, all.length - TIMELINE_MOST_LINES),
  };
}

function weight(kind: TimelineKind): number {
  return TIMELINE_KINDS.indexOf(kind);
}

function compareLines(one: TimelineLine, other: TimelineLine): number {
  return (
    one.atMs - other.atMs ||
    comparePlaces(one, other) ||
    weight(one.kind) - weight(other.kind) ||
    (one.words < other.words ? -1 : 1)
  );
}

function wettingLines({ site, unit, wettings }: UnitReview): readonly TimelineLine[] {
  return wettings.flatMap(({ startMs, endMs, source }): TimelineLine[] => {
    const began = { atMs: startMs, site, unit, kind: 'wet', words: SOURCE_WORDS[source] } as const;
    const goesOn = wettings.some((other) => other.startMs === endMs);
    if (endMs === null || goesOn) return [began];
    return [began, { atMs: endMs, site, unit, kind: 'dry', words: 'Dry again' }];
  });
}

function alarmLines({ site, unit, alarms }: UnitReview): readonly TimelineLine[] {
  return alarms.flatMap((alarm): TimelineLine[] => {
    const lines: TimelineLine[] = [
      { atMs: alarm.raisedAtMs, site, unit, kind: 'alarm', words: alarm.headline },
    ];
    if (alarm.acknowledgedAtMs !== null) {
      const words = `Acknowledged by ${alarm.acknowledgedBy ?? 'somebody'}: ${alarm.headline}`;
      lines.push({ atMs: alarm.acknowledgedAtMs, site, unit, kind: 'acknowledged', words });
    }
    if (alarm.clearedAtMs !== null) {
      const words = `Back to normal: ${alarm.headline}`;
      lines.push({ atMs: alarm.clearedAtMs, site, unit, kind: 'cleared', words });
    }
    return lines;
  });
}

function serviceLine({ site, unit, atMs, action, phases }: ServiceLine): TimelineLine {
  const named = phases === null || phases.length === 0 ? '' : ` (${phases.join(', ')})`;
  return { atMs, site, unit, kind: 'service', words: `${action.replaceAll('-', ' ')}${named}` };
}
