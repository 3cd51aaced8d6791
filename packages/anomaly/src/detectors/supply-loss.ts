import { diagnose, marksText, type Seen } from '../diagnosis/diagnose.ts';
import { isTold, reconsider, type Told, toldBy } from '../diagnosis/reconsider.ts';
import { type FieldGuards, isNumber, isNumberOrNull, isOneOf } from '../field-guards.ts';
import { isHigher } from '../priority-order.ts';
import {
  type FindingChange,
  PRIORITIES,
  type Priority,
  type RaisedFinding,
} from '../vocabulary.ts';
import { type DetectorStep, NO_CHANGES } from './detector-step.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import {
  type BeforeTheLoss,
  newestVapourPascals,
  speaksForFuses,
  vapourCameIn,
} from './fuse-suspicion.ts';
import type { LeakageLevelSlice } from './leakage-level.ts';
import { idleCurrentIsCredible, type OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';
import type { Sample } from './sample.ts';
import type { WetnessSlice } from './wetness.ts';

/**
 * A dead unit: fuses gone or disconnect open.
 *
 * Uses: the operating state (which tells dead from off), the leakage surge before it, what else
 * speaks for fuses and whether vapour came in (`fuse-suspicion.ts`), the door, service records
 * `disconnect-opened` and `disconnect-closed`.
 * Urgent after six minutes dead; an emergency at the second dead reading when leakage surged
 * within the hour before. A disconnect that somebody recorded as opened explains it, and an open
 * door tells that somebody is at work: then it waits until the door has been shut for an hour,
 * unless leakage surged just before.
 * Where there is no door switch, vapour that comes in as the power goes tells of coils that are
 * washed or a compartment that was opened: unless anything speaks for fuses it is routine then,
 * and urgent when power has stayed away for longer than such a visit. Whether neighbours are dead
 * too, which would mean an outage, is for `site/neighbours.ts`.
 */
export interface SupplyLossSlice {
  readonly deadSinceMs: number | null;
  readonly deadReadings: number;
  readonly liveSinceMs: number | null;
  readonly liveReadings: number;
  readonly standing: Priority | null;
  /** A recorded opening that no closing has followed. */
  readonly disconnectOpenedAtMs: number | null;
  /** Newest reading with the door open. */
  readonly doorOpenAtMs: number | null;
  /**
   * Vapour pressure before the unit died; null where it is not known, or where something spoke for
   * fuses, so that vapour that comes in explains nothing.
   */
  readonly vapourBeforePascals: number | null;
  readonly told: Told | null;
}

const MINUTE_MS = 60_000;
/** Longer than a recloser's blink; told within ten minutes at the usual cadence. */
const SUPPLY_LOSS_HOLD_MS: number = 6 * MINUTE_MS;
/** Washing of coils or a repair, with a margin, is over by then. Common practice, no source. */
const VISIT_MS: number = 3 * 60 * MINUTE_MS;
/** Somebody who had the door open is still about. Common practice, no source. */
const AT_WORK_MS: number = 60 * MINUTE_MS;
const SUPPLY_LOSS_READINGS_TO_RAISE = 2;
/** Leakage that surged within this time before explains which way the fuses went. */
const SURGE_MEMORY_MS: number = 60 * MINUTE_MS;
/** Two readings at the slower cadence. */
const SURGE_JUST_BEFORE_MS: number = 4 * MINUTE_MS;
/** Closes after the unit has been live again for this long, over at least two readings. */
const SUPPLY_LOSS_CLOSING_MS: number = 5 * MINUTE_MS;
const LIVE_READINGS_TO_CLOSE = 2;
/** Live this long after a recorded opening: somebody closed the disconnect and did not say so. */
const FORGOTTEN_CLOSING_MS: number = 60 * MINUTE_MS;

export const SUPPLY_LOSS_START: SupplyLossSlice = {
  deadSinceMs: null,
  deadReadings: 0,
  liveSinceMs: null,
  liveReadings: 0,
  standing: null,
  disconnectOpenedAtMs: null,
  doorOpenAtMs: null,
  vapourBeforePascals: null,
  told: null,
};

export const SUPPLY_LOSS_FIELDS: FieldGuards<SupplyLossSlice> = {
  deadSinceMs: isNumberOrNull,
  deadReadings: isNumber,
  liveSinceMs: isNumberOrNull,
  liveReadings: isNumber,
  standing: isOneOf([null, ...PRIORITIES]),
  disconnectOpenedAtMs: isNumberOrNull,
  doorOpenAtMs: isNumberOrNull,
  vapourBeforePascals: isNumberOrNull,
  told: isTold,
};

interface SupplyLossView {
  readonly operating: OperatingSlice;
  readonly level: LeakageLevelSlice;
  readonly wetness: WetnessSlice;
  readonly parameters: DetectorParameters;
}

/**
 * To be called for instants that bring currents or voltages.
 *
 * @param before what was known at the reading before.
 */
export function stepSupplyLoss(
  slice: SupplyLossSlice,
  sample: Sample,
  { operating, level, wetness, parameters }: SupplyLossView,
  before: BeforeTheLoss,
): DetectorStep<SupplyLossSlice> {
  const { atMs } = sample;
  if (operating.state === 'unknown') return { slice, changes: NO_CHANGES };
  if (operating.state !== 'dead') return live(withDoor(slice, sample), atMs);
  const next: SupplyLossSlice = {
    ...withDoor(slice, sample),
    deadSinceMs: slice.deadSinceMs ?? atMs,
    vapourBeforePascals:
      slice.deadSinceMs === null ? calmVapourPascals(before, atMs) : slice.vapourBeforePascals,
    deadReadings: Math.min(slice.deadReadings + 1, SUPPLY_LOSS_READINGS_TO_RAISE),
    liveSinceMs: null,
    liveReadings: 0,
  };
  if (next.disconnectOpenedAtMs !== null) return { slice: next, changes: NO_CHANGES };
  const opened = vapourCameIn(next.vapourBeforePascals, newestVapourPascals(wetness, atMs));
  const reached = reachedPriority(next, atMs, level, opened);
  const { standing, told } = next;
  const fusesReplacedAtMs = before.repeatFuse.replacements.at(-1)?.atMs ?? null;
  const replaced = fusesReplacedAtMs !== null && fusesReplacedAtMs >= (next.deadSinceMs ?? atMs);
  const finding = (change: 'opened' | 'escalated', priority: Priority): RaisedFinding =>
    supplyLossFinding(change, priority, next, replaced, {
      sample,
      operating,
      level,
      parameters,
      opened,
    });
  if (reached !== null && isHigher(reached, standing)) {
    const raised = finding(standing === null ? 'opened' : 'escalated', reached);
    return { slice: { ...next, standing: reached, told: toldBy(raised) }, changes: [raised] };
  }
  // Once for each record of fuses: people write those, so that they are few.
  if (standing === null || told === null || !replaced || told.atMs >= fusesReplacedAtMs) {
    return { slice: next, changes: NO_CHANGES };
  }
  const again = reconsider(told, finding('escalated', standing));
  return { slice: { ...next, told: again.told }, changes: again.changes };
}

/** True when leakage surged within so long before the unit died. */
function surged(deadSinceMs: number, level: LeakageLevelSlice, withinMs: number): boolean {
  const { surgeAtMs } = level;
  return surgeAtMs !== null && deadSinceMs - surgeAtMs <= withinMs;
}

function reachedPriority(
  slice: SupplyLossSlice,
  atMs: number,
  level: LeakageLevelSlice,
  opened: boolean,
): Priority | null {
  const { deadSinceMs, deadReadings, doorOpenAtMs } = slice;
  if (deadSinceMs === null || deadReadings < SUPPLY_LOSS_READINGS_TO_RAISE) return null;
  const atWork = doorOpenAtMs !== null && atMs - doorOpenAtMs < AT_WORK_MS;
  // Who opened the door opened the disconnect too, and not for what leaked a while ago at a start.
  const surgeMemoryMs = atWork ? SURGE_JUST_BEFORE_MS : SURGE_MEMORY_MS;
  if (surged(deadSinceMs, level, surgeMemoryMs)) return 'emergency';
  if (atWork) return null;
  const deadMs = atMs - deadSinceMs;
  if (deadMs < SUPPLY_LOSS_HOLD_MS) return null;
  if (deadMs >= VISIT_MS) return 'urgent';
  // Who was there once is not gone because the air has dried.
  return opened || slice.standing === 'routine' ? 'routine' : 'urgent';
}

function calmVapourPascals(before: BeforeTheLoss, atMs: number): number | null {
  if (speaksForFuses(before, atMs)) return null;
  const pascals = newestVapourPascals(before.wetness, atMs);
  return pascals === null ? null : Math.round(pascals * 10) / 10;
}

function withDoor(slice: SupplyLossSlice, { atMs, doorOpen }: Sample): SupplyLossSlice {
  return doorOpen ? { ...slice, doorOpenAtMs: atMs } : slice;
}

function live(slice: SupplyLossSlice, atMs: number): DetectorStep<SupplyLossSlice> {
  if (
    slice.deadSinceMs === null &&
    slice.standing === null &&
    slice.disconnectOpenedAtMs === null
  ) {
    return { slice, changes: NO_CHANGES };
  }
  const liveSinceMs = slice.liveSinceMs ?? atMs;
  const liveReadings = Math.min(slice.liveReadings + 1, LIVE_READINGS_TO_CLOSE);
  const settled =
    liveReadings >= LIVE_READINGS_TO_CLOSE && atMs - liveSinceMs >= SUPPLY_LOSS_CLOSING_MS;
  // One live reading ends the wait for an alarm; it takes more to end an alarm or a record.
  const closes = settled && slice.standing !== null;
  const recordHolds =
    slice.disconnectOpenedAtMs !== null && atMs - liveSinceMs < FORGOTTEN_CLOSING_MS;
  const changes: readonly FindingChange[] = closes
    ? [{ change: 'closed', kind: 'supply-loss', atMs }]
    : NO_CHANGES;
  if (settled && !recordHolds) {
    return { slice: { ...SUPPLY_LOSS_START, doorOpenAtMs: slice.doorOpenAtMs }, changes };
  }
  const next = { ...slice, deadSinceMs: null, deadReadings: 0, liveSinceMs, liveReadings };
  return { slice: closes ? { ...next, standing: null } : next, changes };
}

/**
 * A service record. `disconnect-opened` explains a dead unit until `disconnect-closed` (or until
 * the unit is live again without one); it ends a finding that stands.
 */
export function recordDisconnect(
  slice: SupplyLossSlice,
  action: string,
  atMs: number,
): DetectorStep<SupplyLossSlice> {
  if (action === 'disconnect-opened') {
    const changes: readonly FindingChange[] =
      slice.standing === null ? NO_CHANGES : [{ change: 'closed', kind: 'supply-loss', atMs }];
    const next = { ...slice, standing: null, disconnectOpenedAtMs: atMs };
    return { slice: { ...next, liveSinceMs: null, liveReadings: 0 }, changes };
  }
  if (action !== 'disconnect-closed' || slice.disconnectOpenedAtMs === null) {
    return { slice, changes: NO_CHANGES };
  }
  // From here on the unit should be live: the wait begins anew.
  const next = { ...slice, disconnectOpenedAtMs: null, deadSinceMs: null, deadReadings: 0 };
  return { slice: next, changes: NO_CHANGES };
}

interface SupplyLossContext extends Omit<SupplyLossView, 'wetness'> {
  readonly sample: Sample;
  /** Vapour came in as the power went. */
  readonly opened: boolean;
}

function supplyLossFinding(
  change: 'opened' | 'escalated',
  priority: Priority,
  slice: SupplyLossSlice,
  fusesReplaced: boolean,
  { sample, operating, level, parameters, opened }: SupplyLossContext,
): RaisedFinding {
  const deadSinceMs = slice.deadSinceMs ?? sample.atMs;
  const bySurge = surged(deadSinceMs, level, SURGE_MEMORY_MS);
  const deadMinutes = (sample.atMs - deadSinceMs) / MINUTE_MS;
  const byVoltage = sample.groundVolts !== null || sample.lineVolts !== null;
  const surge = level.surgeMilliamps;
  const marks: Seen[] = ['idle-current-gone'];
  if (bySurge) marks.push('leakage-surged-before');
  // A surge told how the power went; water that came in beside it explains nothing away.
  if (opened && !bySurge) marks.push('vapour-came-in');
  if (fusesReplaced) marks.push('fuses-replaced-while-dead');
  return {
    change,
    kind: 'supply-loss',
    priority,
    atMs: sample.atMs,
    headline:
      bySurge && surge !== null
        ? `Unit dead after leakage of ${shortNumber(surge)} mA: fuses gone`
        : `Unit dead for ${shortNumber(deadMinutes)} min: ${
            priority === 'routine'
              ? 'disconnect open, it seems, for vapour came in'
              : 'fuses gone or disconnect open'
          }`,
    evidence: {
      deadMinutes: evidenceNumber(deadMinutes),
      deadSinceMs,
      seenBy: byVoltage ? 'voltage' : 'missing idle current',
      usualIdleAmps: idleCurrentIsCredible(operating)
        ? evidenceNumber(operating.idleLowestAmps)
        : null,
      largestPhaseAmps: evidenceNumber(sample.currents?.largest ?? null),
      surgeLeakageMilliamps: bySurge ? evidenceNumber(surge) : null,
      earlierLeakageMilliamps: evidenceNumber(level.earlierMilliamps),
      urgentLimitMilliamps: parameters.limits.leakageUrgentMilliamps,
      marks: marksText(marks),
    },
    causes: diagnose('supply-loss', marks),
  };
}
