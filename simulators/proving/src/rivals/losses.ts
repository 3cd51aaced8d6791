import type { CauseEstimate, FindingChange } from '@lineside/anomaly';
import { type Features, RUNNING_AMPS } from './features.ts';

/**
 * Lost phases and dead units. A chart of something that is there or not says nothing that a limit
 * does not, so all rivals share this rule: a phase below a fifth of the largest at two readings
 * while running is an emergency (common practice); no current at all for the hold is urgent, after
 * the unit's own idle current has been seen, and unless somebody wrote that the disconnect is open.
 */
export class LossRule {
  readonly #deadHoldMs: number;
  #weakReadings = 0;
  #phaseLost = false;
  #evenReadings = 0;
  #idleSeen = 0;
  #deadSinceMs: number | null = null;
  #dead = false;
  #disconnectOpen = false;

  /** @param deadHoldMinutes how long no current may flow. */
  constructor(deadHoldMinutes: number) {
    this.#deadHoldMs = deadHoldMinutes * 60_000;
  }

  service(action: string): void {
    if (action === 'disconnect-opened') this.#disconnectOpen = true;
    if (action === 'disconnect-closed') {
      this.#disconnectOpen = false;
      this.#deadSinceMs = null;
    }
  }

  step(features: Features): FindingChange[] {
    const { largestAmps, weakestShare } = features;
    if (largestAmps === null) return [];
    const changes: FindingChange[] = [];
    const phase = this.#phase(features.atMs, largestAmps, weakestShare ?? 1);
    if (phase !== null) changes.push(phase);
    const supply = this.#supply(features.atMs, largestAmps);
    if (supply !== null) changes.push(supply);
    return changes;
  }

  #phase(atMs: number, largestAmps: number, weakestShare: number): FindingChange | null {
    if (largestAmps < RUNNING_AMPS) return null;
    const weak = weakestShare < WEAK_SHARE;
    this.#weakReadings = weak ? this.#weakReadings + 1 : 0;
    this.#evenReadings = weak ? 0 : this.#evenReadings + 1;
    if (!this.#phaseLost && this.#weakReadings >= READINGS) {
      this.#phaseLost = true;
      return {
        change: 'opened',
        kind: 'phase-loss',
        priority: 'emergency',
        atMs,
        headline: 'A phase is lost while running',
        evidence: { weakestPhaseShare: weakestShare },
        causes: OPEN_FUSE,
      };
    }
    if (!this.#phaseLost || this.#evenReadings < READINGS) return null;
    this.#phaseLost = false;
    return { change: 'closed', kind: 'phase-loss', atMs };
  }

  #supply(atMs: number, largestAmps: number): FindingChange | null {
    if (largestAmps > DEAD_AMPS) {
      if (largestAmps > IDLE_SEEN_AMPS) this.#idleSeen += 1;
      this.#deadSinceMs = null;
      if (!this.#dead) return null;
      this.#dead = false;
      return { change: 'closed', kind: 'supply-loss', atMs };
    }
    this.#deadSinceMs ??= atMs;
    const knows = this.#idleSeen >= IDLE_SEEN_READINGS && !this.#disconnectOpen;
    if (this.#dead || !knows || atMs - this.#deadSinceMs < this.#deadHoldMs) return null;
    this.#dead = true;
    return {
      change: 'opened',
      kind: 'supply-loss',
      priority: 'urgent',
      atMs,
      headline: 'No current at all',
      evidence: { deadSinceMs: this.#deadSinceMs, largestPhaseAmps: largestAmps },
      causes: OFF_OR_OPEN,
    };
  }
}

const WEAK_SHARE = 0.2;
const READINGS = 2;
/** A clamp-on sensor tells no less from nothing (common practice). */
const DEAD_AMPS = 0.03;
const IDLE_SEEN_AMPS = 0.09;
const IDLE_SEEN_READINGS = 10;

const OPEN_FUSE: readonly CauseEstimate[] = [
  { cause: 'open-fuse', probability: 0.9, because: ['one phase is near zero'] },
  { cause: 'unknown', probability: 0.1, because: [] },
];
const OFF_OR_OPEN: readonly CauseEstimate[] = [
  {
    cause: 'disconnect-open-or-fuses-open',
    probability: 0.9,
    because: ['not even the idle current flows'],
  },
  { cause: 'unknown', probability: 0.1, because: [] },
];
