import type { Alarm } from '@lineside/alarms';
import {
  type ClockFaultState,
  type FindingChange,
  newClockFaultState,
  newSilenceState,
  type SilenceState,
  stepClockFaults,
  stepSilence,
} from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import { type FleetIndex, unitKey } from '../fleet-index.ts';
import type { UnitFindings } from './judgement-writer.ts';

interface Heard {
  readonly site: string;
  readonly unit: string;
  silence: SilenceState;
  clock: ClockFaultState;
}

/** Whether an alarm is about a node's clock, which goes by time of receipt. */
export function isClockFault({ kind, evidence }: Pick<Alarm, 'kind' | 'evidence'>): boolean {
  return kind === 'sensor' && 'refusedReadings' in evidence;
}

/**
 * Whether nodes are heard, and whether their clocks are right: the two things that go by time of
 * receipt. Its findings gather until the judge fetches them.
 */
export class SilenceWatch {
  readonly #fleet: FleetIndex;
  readonly #heard = new Map<string, Heard>();
  #findings: UnitFindings[] = [];

  constructor(fleet: FleetIndex) {
    this.#fleet = fleet;
  }

  /** Takes over what stood before a restart. A clock fault then lasts an hour at least. */
  restore(alarms: readonly Alarm[], nowMs: number): void {
    for (const { site, unit, kind, standing, priority, evidence } of alarms) {
      if (!standing) {
        continue;
      }
      const heard = this.#of(site, unit);
      if (kind === 'silent') {
        heard.silence = newSilenceState(priority);
      } else if (isClockFault({ kind, evidence })) {
        heard.clock = { ...newClockFaultState(true), refusedAtMs: [nowMs] };
      }
    }
  }

  /** A telemetry message came in; `refusedTimes` of its event times were out of range. */
  received(site: string, unit: string, atMs: number, refusedTimes: number): void {
    const known = this.#fleet.watched(site, unit);
    if (known === null) {
      return;
    }
    const heard = this.#of(site, unit);
    this.#silence(heard, known, 'receipt', atMs);
    if (refusedTimes > 0) {
      const step = stepClockFaults(heard.clock, { type: 'refused', atMs, count: refusedTimes });
      heard.clock = step.state;
      this.#found(heard, step.changes);
    }
  }

  /** Time passed. */
  tick(atMs: number): void {
    for (const heard of this.#heard.values()) {
      const known = this.#fleet.watched(heard.site, heard.unit);
      if (known === null) {
        continue;
      }
      this.#silence(heard, known, 'tick', atMs);
      const step = stepClockFaults(heard.clock, { type: 'tick', atMs });
      heard.clock = step.state;
      this.#found(heard, step.changes);
    }
  }

  /**
   * We could not listen until now: nobody was silent meanwhile. What counts as the last receipt of
   * every unit that is not silent already moves to this moment.
   */
  excuse(atMs: number): void {
    for (const heard of this.#heard.values()) {
      if (heard.silence.lastReceiptMs !== null && heard.silence.standing === null) {
        heard.silence = { ...heard.silence, lastReceiptMs: atMs };
      }
    }
  }

  /** Findings since the last call. */
  take(): readonly UnitFindings[] {
    const findings = this.#findings;
    this.#findings = [];
    return findings;
  }

  get hasFindings(): boolean {
    return this.#findings.length > 0;
  }

  #silence(heard: Heard, unit: Unit, type: 'receipt' | 'tick', atMs: number): void {
    const step = stepSilence(heard.silence, { type, atMs }, unit.limits, unit.nodeSupply);
    heard.silence = step.state;
    this.#found(heard, step.changes);
  }

  #found(heard: Heard, changes: readonly FindingChange[]): void {
    if (changes.length > 0) {
      this.#findings.push({ site: heard.site, unit: heard.unit, changes });
    }
  }

  #of(site: string, unit: string): Heard {
    const key = unitKey(site, unit);
    let heard = this.#heard.get(key);
    if (heard === undefined) {
      heard = { site, unit, silence: newSilenceState(), clock: newClockFaultState() };
      this.#heard.set(key, heard);
    }
    return heard;
  }
}
