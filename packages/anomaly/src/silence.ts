import type { Limits, Unit } from '@lineside/fleet';
import { diagnose } from './diagnosis/diagnose.ts';
import type { FindingChange, Priority } from './vocabulary.ts';

const MINUTE_MS = 60_000;

/** Whether a unit is heard. Goes by time of receipt, so it lives apart from the watch. */
export interface SilenceState {
  /** Time of the newest receipt since the server's start; null: not heard yet, never silent. */
  readonly lastReceiptMs: number | null;
  readonly standing: Priority | null;
}

export type SilenceEvent = { readonly type: 'receipt' | 'tick'; readonly atMs: number };

/** `unit.limits` fits. */
export type SilenceLimits = Pick<Limits, 'silentRoutineMinutes' | 'silentUrgentMinutes'>;

export interface SilenceStep {
  readonly state: SilenceState;
  readonly changes: readonly FindingChange[];
}

/** `standing`: priority of the silent finding that stood before a restart; a receipt ends it. */
export function newSilenceState(standing: Priority | null = null): SilenceState {
  return { lastReceiptMs: null, standing };
}

/**
 * Judges one receipt or the passing of time (all in ms, time of receipt).
 *
 * A finding `silent` opens `limits.silentRoutineMinutes` after the last receipt, rises to urgent
 * after `limits.silentUrgentMinutes` and ends with the next receipt. A receipt after a gap tells
 * of the gap first, so ticks may be rare or, in a back-test, absent.
 *
 * @param nodeSupply what feeds the node: one fed from the unit's 24 V falls silent when the
 *   unit's fuses go.
 */
export function stepSilence(
  state: SilenceState,
  event: SilenceEvent,
  limits: SilenceLimits,
  nodeSupply: Unit['nodeSupply'] = null,
): SilenceStep {
  const changes: FindingChange[] = [];
  let standing = state.standing;
  if (state.lastReceiptMs !== null) {
    const routineMs = state.lastReceiptMs + limits.silentRoutineMinutes * MINUTE_MS;
    const urgentMs = state.lastReceiptMs + limits.silentUrgentMinutes * MINUTE_MS;
    if (standing === null && routineMs < urgentMs && event.atMs >= routineMs) {
      standing = 'routine';
      changes.push(
        silent('opened', standing, routineMs, limits.silentRoutineMinutes, state, nodeSupply),
      );
    }
    if (standing !== 'urgent' && standing !== 'emergency' && event.atMs >= urgentMs) {
      const change = standing === null ? 'opened' : 'escalated';
      standing = 'urgent';
      changes.push(
        silent(change, standing, urgentMs, limits.silentUrgentMinutes, state, nodeSupply),
      );
    }
  }
  if (event.type === 'tick') {
    return standing === state.standing
      ? { state, changes }
      : { state: { ...state, standing }, changes };
  }
  if (standing !== null) changes.push({ change: 'closed', kind: 'silent', atMs: event.atMs });
  const lastReceiptMs = Math.max(event.atMs, state.lastReceiptMs ?? event.atMs);
  return { state: { lastReceiptMs, standing: null }, changes };
}

function silent(
  change: 'opened' | 'escalated',
  priority: Priority,
  atMs: number,
  minutes: number,
  state: SilenceState,
  nodeSupply: Unit['nodeSupply'],
): FindingChange {
  const duration = minutes >= 120 ? `${Math.round(minutes / 60)} h` : `${Math.round(minutes)} min`;
  return {
    change,
    kind: 'silent',
    priority,
    atMs,
    headline: `Nothing heard from the node for ${duration}`,
    evidence: { silentMinutes: minutes, lastReceiptMs: state.lastReceiptMs, nodeSupply },
    causes: diagnose('silent', [
      nodeSupply === 'unit-24v' ? 'fed-from-the-unit' : 'fed-from-elsewhere',
    ]),
  };
}
