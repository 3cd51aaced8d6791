import type { FindingChange } from './vocabulary.ts';

/** Refused event times within `CLOCK_FAULT_WINDOW_MS` of receipt that raise the finding. */
export const CLOCK_FAULT_COUNT = 20;
/** An hour: a node with a wrong clock refuses every reading, a single slip does not last. */
export const CLOCK_FAULT_WINDOW_MS = 3_600_000;

/** Event times of one node that were refused (far ahead, or older than what is kept). */
export interface ClockFaultState {
  /** Times of receipt of the newest refused event times, at most `CLOCK_FAULT_COUNT`. */
  readonly refusedAtMs: readonly number[];
  readonly standing: boolean;
}

/** `count`: how many event times were refused at once. */
export type ClockFaultEvent =
  | { readonly type: 'refused'; readonly atMs: number; readonly count: number }
  | { readonly type: 'tick'; readonly atMs: number };

export interface ClockFaultStep {
  readonly state: ClockFaultState;
  readonly changes: readonly FindingChange[];
}

/** `standing`: true when the finding stood before a restart; an hour without refusals ends it. */
export function newClockFaultState(standing = false): ClockFaultState {
  return { refusedAtMs: [], standing };
}

/**
 * Counts refused event times by time of receipt (ms). Opens `sensor` with the twentieth within an
 * hour, closes it when an hour has passed without one.
 */
export function stepClockFaults(state: ClockFaultState, event: ClockFaultEvent): ClockFaultStep {
  const changes: FindingChange[] = [];
  let { standing } = state;
  const newestMs = state.refusedAtMs.at(-1);
  const calm = newestMs === undefined || event.atMs - newestMs >= CLOCK_FAULT_WINDOW_MS;
  if (event.type === 'tick') {
    if (!calm || (!standing && state.refusedAtMs.length === 0)) return { state, changes };
    if (standing) {
      const atMs = newestMs === undefined ? event.atMs : newestMs + CLOCK_FAULT_WINDOW_MS;
      changes.push({ change: 'closed', kind: 'sensor', atMs });
    }
    return { state: { refusedAtMs: [], standing: false }, changes };
  }
  if (standing && calm && newestMs !== undefined) {
    standing = false;
    changes.push({ change: 'closed', kind: 'sensor', atMs: newestMs + CLOCK_FAULT_WINDOW_MS });
  }
  const added = new Array<number>(Math.min(event.count, CLOCK_FAULT_COUNT)).fill(event.atMs);
  const refusedAtMs = [...state.refusedAtMs, ...added]
    .filter((atMs) => event.atMs - atMs < CLOCK_FAULT_WINDOW_MS)
    .slice(-CLOCK_FAULT_COUNT);
  if (!standing && refusedAtMs.length >= CLOCK_FAULT_COUNT) {
    standing = true;
    changes.push(clockFault(event.atMs, refusedAtMs.length));
  }
  return { state: { refusedAtMs, standing }, changes };
}

function clockFault(atMs: number, refusedReadings: number): FindingChange {
  return {
    change: 'opened',
    kind: 'sensor',
    priority: 'routine',
    atMs,
    headline: 'Node clock is wrong: its readings are refused',
    evidence: { refusedReadings, windowMinutes: CLOCK_FAULT_WINDOW_MS / 60_000 },
    causes: [
      {
        cause: 'sensor-fault',
        probability: 1,
        because: [`${refusedReadings} event times within an hour were out of range`],
      },
    ],
  };
}
