import { type Fault, stands } from './fault-kinds.ts';
import { during } from './look-alike-kinds.ts';
import type { RandomStream } from './random.ts';
import type { BacklogOrder, UnitScript } from './scenario.ts';

/** What was measured earlier comes so much later when a backlog goes out newest first, ms per s. */
const NEWEST_FIRST_MS_PER_SECOND = 1;

/** When a reading of this moment arrives; null: never. */
export function arrivalMs(script: UnitScript, atMs: number): number | null {
  for (const fault of script.faults) {
    if (fault.kind === 'network-outage' && stands(fault, atMs)) {
      return afterOutage(fault.toMs, fault.backlog ?? 'oldest-first', atMs);
    }
  }
  for (const lookAlike of script.lookAlikes ?? []) {
    if (lookAlike.kind === 'gateway-loss' && during(lookAlike, atMs)) {
      return afterOutage(lookAlike.toMs, lookAlike.backlog, atMs);
    }
  }
  return atMs;
}

/** Whether a reading gets lost on its way for good. */
export function isLost(faults: readonly Fault[], atMs: number, random: RandomStream): boolean {
  return happens('readings-lost', faults, atMs, random);
}

/** Whether a reading is delivered twice. */
export function isRepeated(faults: readonly Fault[], atMs: number, random: RandomStream): boolean {
  return happens('duplicate-deliveries', faults, atMs, random);
}

function happens(
  kind: 'readings-lost' | 'duplicate-deliveries',
  faults: readonly Fault[],
  atMs: number,
  random: RandomStream,
): boolean {
  for (const fault of faults) {
    if (fault.kind === kind && stands(fault, atMs) && random.uniform() < fault.share) return true;
  }
  return false;
}

function afterOutage(toMs: number, backlog: BacklogOrder, atMs: number): number | null {
  if (backlog === 'lost') return null;
  if (backlog === 'oldest-first') return toMs;
  return toMs + ((toMs - atMs) / 1000) * NEWEST_FIRST_MS_PER_SECOND;
}
