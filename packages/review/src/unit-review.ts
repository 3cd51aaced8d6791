import type { Alarm } from '@lineside/alarms';
import type { FindingKind, Plate, Priority, WettingSource } from '@lineside/anomaly';
import type { FusesLost } from './fuses-lost.ts';
import type { UnitPlace } from './place.ts';
import type { Visit } from './visit.ts';

/** What a review needs to know of a unit. */
export interface ReviewUnit extends UnitPlace {
  readonly name: string;
  /** How to get there. */
  readonly access: string | null;
  readonly plate: Plate;
  /** The unit's learned leakage of a dry day, mA; null while it is not learned. */
  readonly learnedDryMilliamps: number | null;
}

/** A unit's leakage as its node reported it, mA; null without the channel. */
export interface UnitLeakage extends UnitPlace {
  /** Highest within the storm. */
  readonly highestMilliamps: number | null;
  /** Highest moment that a reporting interval had, where the node sends it. */
  readonly highestMomentMilliamps: number | null;
  /** Lowest within the three days before the storm. */
  readonly lowestBeforeMilliamps: number | null;
}

/** A service record. */
export interface ServiceLine extends UnitPlace {
  readonly atMs: number;
  readonly action: string;
  /** Phases of replaced fuses; null where they were not told. */
  readonly phases: readonly string[] | null;
}

/** One wetting within the storm. */
export interface WettingLine {
  readonly startMs: number;
  readonly peakMs: number;
  readonly endMs: number | null;
  readonly source: WettingSource;
  readonly wetHours: number;
}

/** One alarm within the storm. */
export interface AlarmLine {
  readonly id: string;
  readonly kind: FindingKind;
  readonly priority: Priority;
  readonly headline: string;
  readonly raisedAtMs: number;
  readonly clearedAtMs: number | null;
  readonly acknowledgedAtMs: number | null;
  readonly acknowledgedBy: string | null;
  /** From the raise; 0 where it was acknowledged before its event time; null while it was not. */
  readonly minutesToAcknowledge: number | null;
}

/** What excess leakage is measured against. */
type UsualLeakageBasis = 'learned-dry-day' | 'lowest-of-three-days-before';

/** What one storm did to one unit. */
export interface UnitReview extends UnitPlace {
  readonly name: string;
  readonly access: string | null;
  /** Hours of wetness within the storm's wettings. */
  readonly wetHours: number;
  /** The worst source of its wettings: water that got in, then condensation, then damp air. */
  readonly source: WettingSource | null;
  readonly wettings: readonly WettingLine[];
  /** From the wettest moment until dry, of the longest; null while wet, or when never. */
  readonly dryingHours: number | null;
  readonly isWet: boolean;
  readonly peakMilliamps: number | null;
  readonly highestMomentMilliamps: number | null;
  readonly usualMilliamps: number | null;
  readonly usualBasis: UsualLeakageBasis | null;
  /** Peak above usual, never below 0. */
  readonly excessMilliamps: number | null;
  readonly alarms: readonly AlarmLine[];
  readonly highestPriority: Priority | null;
  /** The longest of its acknowledged alarms. */
  readonly minutesToAcknowledge: number | null;
  readonly unacknowledged: number;
  readonly fuses: FusesLost;
  readonly visit: Visit;
}

/** An alarm as a review tells it. */
export function alarmLine(alarm: Alarm): AlarmLine {
  const { acknowledgedAtMs, raisedAtMs } = alarm;
  return {
    id: alarm.id,
    kind: alarm.kind,
    priority: alarm.priority,
    headline: alarm.headline,
    raisedAtMs,
    clearedAtMs: alarm.clearedAtMs,
    acknowledgedAtMs,
    acknowledgedBy: alarm.acknowledgedBy,
    minutesToAcknowledge:
      acknowledgedAtMs === null ? null : Math.max(0, (acknowledgedAtMs - raisedAtMs) / 60_000),
  };
}
