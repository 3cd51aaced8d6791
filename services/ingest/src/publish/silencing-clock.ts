import { type Alarm, actOnAlarm, silencingDue } from '@lineside/alarms';
import { type RecordStore, StoreError, type UnitHold } from '@lineside/storage';
import type { Logger } from 'pino';
import { OpenAlarms, unitKeyOf } from './open-alarms.ts';

/** How often holds are read: another process may write them, and they begin and end by time. */
const CHECK_MS = 1_000;

/** How often every unit is looked at: what can no longer reopen is let go then. */
const FULL_CHECK_MS = 60_000;

/** Times that somebody may come in between before it waits for the next look. */
const MOST_CONFLICTS = 5;

export interface SilencingClockParts {
  readonly records: Pick<RecordStore, 'alarm' | 'changeAlarms' | 'unitHoldsAt'>;
  readonly clock: () => number;
  readonly log: Logger;
  /** Called after alarms were set aside or brought back. */
  readonly onAlarms: () => void;
}

type Holds = ReadonlyMap<string, readonly UnitHold[]>;

/**
 * Sets alarms aside by itself, and brings them back: out of service with their unit, suppressed by
 * design while another alarm stands. It follows the journal and the holds, and remembers nothing of
 * its own, so that a restart continues from what is kept.
 */
export class SilencingClock {
  readonly #parts: SilencingClockParts;
  readonly #alarms = new OpenAlarms();
  /** Units with alarms that have changed since they were looked at. */
  #changed = new Set<string>();
  #held: ReadonlySet<string> = new Set();
  #fullCheckAtMs = Number.NEGATIVE_INFINITY;
  #timer: NodeJS.Timeout | null = null;
  #running: Promise<void> | null = null;
  #again = false;
  #failed = false;

  constructor(parts: SilencingClockParts) {
    this.#parts = parts;
  }

  /** Takes note of alarms as they are now. */
  note(alarms: readonly Alarm[]): void {
    for (const alarm of alarms) {
      this.#alarms.note(alarm);
      this.#changed.add(unitKeyOf(alarm));
    }
    // At once: who is to be paged is asked soon after a raise.
    if (this.#timer !== null && alarms.length > 0) this.check();
  }

  start(): void {
    this.#timer = setInterval(() => this.check(), CHECK_MS);
    this.#timer.unref();
    this.check();
  }

  async stop(): Promise<void> {
    if (this.#timer !== null) clearInterval(this.#timer);
    this.#timer = null;
    while (this.#running !== null) await this.#running;
  }

  /** Looks at what has changed: alarms, holds, the time. */
  check(): void {
    if (this.#running !== null) {
      this.#again = true;
      return;
    }
    this.#running = this.#look().finally(() => {
      this.#running = null;
      const isDue = this.#again && this.#timer !== null;
      this.#again = false;
      if (isDue) this.check();
    });
  }

  async #look(): Promise<void> {
    const nowMs = this.#parts.clock();
    const changed = this.#changed;
    this.#changed = new Set();
    let left: ReadonlySet<string> = changed;
    try {
      const holds = byUnit(await this.#parts.records.unitHoldsAt(nowMs));
      left = this.#unitsToLookAt(changed, holds, nowMs);
      for (const unit of left) await this.#settle(unit, holds.get(unit) ?? [], nowMs);
      this.#failed = false;
    } catch (error) {
      // The next look, within a second, takes the same units.
      for (const unit of left) this.#changed.add(unit);
      if (!this.#failed) {
        this.#parts.log.warn({ err: error }, 'alarms cannot be set aside; tried again');
      }
      this.#failed = true;
    }
  }

  #unitsToLookAt(changed: Set<string>, holds: Holds, nowMs: number): ReadonlySet<string> {
    const units = new Set([...changed, ...this.#held, ...holds.keys()]);
    this.#held = new Set(holds.keys());
    if (nowMs - this.#fullCheckAtMs >= FULL_CHECK_MS) {
      this.#fullCheckAtMs = nowMs;
      for (const unit of this.#alarms.units()) units.add(unit);
    }
    return units;
  }

  async #settle(unit: string, holds: readonly UnitHold[], nowMs: number): Promise<void> {
    for (const { id } of this.#alarms.ofUnit(unit)) {
      for (let attempt = 1; attempt <= MOST_CONFLICTS; attempt++) {
        if (await this.#settleOne(unit, id, holds, nowMs)) break;
      }
    }
  }

  /** False when somebody changed the alarm in between. */
  async #settleOne(
    unit: string,
    id: string,
    holds: readonly UnitHold[],
    nowMs: number,
  ): Promise<boolean> {
    const ofUnit = this.#alarms.ofUnit(unit);
    const alarm = ofUnit.find((one) => one.id === id);
    if (alarm === undefined) return true;
    const action = silencingDue(alarm, ofUnit, holds, nowMs);
    if (action === null) return true;
    const result = actOnAlarm(alarm, action, { atMs: nowMs, by: 'clock' });
    if (!result.ok || result.entry === null) return true;
    try {
      await this.#parts.records.changeAlarms([{ entry: result.entry }]);
    } catch (error) {
      if (!(error instanceof StoreError) || error.code !== 'STORE_CONFLICT') throw error;
      this.#alarms.forget(alarm);
      const stored = await this.#parts.records.alarm(id);
      if (stored !== null) this.#alarms.note(stored);
      return false;
    }
    this.#alarms.note(result.alarm);
    this.#parts.onAlarms();
    return true;
  }
}

function byUnit(holds: readonly UnitHold[]): Holds {
  const found = new Map<string, UnitHold[]>();
  for (const hold of holds) {
    const key = unitKeyOf(hold);
    const ofUnit = found.get(key) ?? [];
    found.set(key, ofUnit);
    ofUnit.push(hold);
  }
  return found;
}
