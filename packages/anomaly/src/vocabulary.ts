/** The words that findings and alarms share. */

export const FINDING_KINDS = [
  'moisture',
  'leakage',
  'phase-track',
  'unbalance',
  'phase-loss',
  'supply-loss',
  'repeat-fuse',
  'sensor',
  'silent',
] as const;
export type FindingKind = (typeof FINDING_KINDS)[number];

/** Ascending urgency. */
export const PRIORITIES = ['routine', 'urgent', 'emergency'] as const;
export type Priority = (typeof PRIORITIES)[number];

export const CAUSES = [
  'condensation',
  'water-ingress',
  'humid-weather',
  'line-side-track-to-ground',
  'pole-to-pole-track',
  'load-insulation',
  'supply-voltage',
  'worn-pole-or-connection',
  'open-fuse',
  'disconnect-open-or-fuses-open',
  'sensor-fault',
  'node-offline',
  'utility-outage',
  'unknown',
] as const;
export type Cause = (typeof CAUSES)[number];

/** One possible cause, with the probability given to it and the reasons in words. */
export interface CauseEstimate {
  readonly cause: Cause;
  /** 0 to 1. */
  readonly probability: number;
  readonly because: readonly string[];
}

/** Numbers and words behind a finding; every numeric name carries its unit. */
export type Evidence = Readonly<Record<string, number | string | boolean | null>>;

interface Judged {
  readonly kind: FindingKind;
  readonly atMs: number;
  /** At most 90 characters; what a technician reads first. */
  readonly headline: string;
  readonly evidence: Evidence;
  /** Most probable first; never empty. */
  readonly causes: readonly CauseEstimate[];
}

/** `opened` raises a finding; `escalated` lifts the priority of the one that stands. */
export interface RaisedFinding extends Judged {
  readonly change: 'opened' | 'escalated';
  readonly priority: Priority;
}

/**
 * Evidence that came while the finding stands says otherwise of its causes than was told. Its
 * priority stays: nobody is called again for it.
 */
export interface ReconsideredFinding extends Judged {
  readonly change: 'reconsidered';
}

/**
 * What a watch says has changed. At most one finding per kind stands at a time.
 * `atMs` is event time: the moment the criterion, its delay included, was met (or ended).
 */
export type FindingChange =
  | RaisedFinding
  | ReconsideredFinding
  | { readonly change: 'closed'; readonly kind: FindingKind; readonly atMs: number };

export const WETTING_SOURCES = ['condensation', 'water-ingress', 'humid-weather'] as const;
export type WettingSource = (typeof WETTING_SOURCES)[number];

/** One wetting of a compartment. It is not an alarm. `id` is stable while the wetting goes on. */
export interface WettingEpisode {
  readonly startMs: number;
  readonly peakMs: number;
  /** null while it goes on. */
  readonly endMs: number | null;
  readonly source: WettingSource;
  /** Hours of wetness within the episode, ISO 9223 criterion or a wet plate. */
  readonly wetHours: number;
  readonly evidence: Evidence;
}
