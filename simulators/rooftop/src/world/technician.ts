import type { ServiceLine, UnitScript, Visit, VisitEffect } from './scenario.ts';

/** A service record as a technician writes it. */
export interface ServiceRecord {
  readonly site: string;
  readonly unit: string;
  readonly atMs: number;
  readonly line: ServiceLine;
  /** When it was written down: late by habit, perhaps. */
  readonly writtenAtMs: number;
}

/** What a technician does to a unit at one step. */
export interface Hands {
  openDisconnect(): void;
  closeDisconnect(): void;
  work(atMs: number, effects: readonly VisitEffect[], actions: readonly string[]): void;
}

const NO_RECORDS: readonly ServiceRecord[] = [];
/** A swap of fuses takes this long. */
const SWAP_MS = 25 * 60_000;

interface PlannedStep {
  readonly atMs: number;
  readonly effects: readonly VisitEffect[];
  readonly disconnect: 'open' | 'close' | 'as-it-is';
  readonly lines: readonly ServiceLine[];
  /** Until its lines are written; null: never. */
  readonly recordedAfterMs: number | null;
}

/** Goes through the scripted visits of one unit, and swaps open fuses where the script says so. */
export class Technician {
  private readonly script: UnitScript;
  private readonly steps: PlannedStep[] = [];
  private readonly written: ServiceRecord[];
  private swapPlannedForMs: number | null = null;
  /** Until when somebody stands at the open compartment. */
  private doorOpenUntilMs = 0;
  private nowMs: number = Number.NEGATIVE_INFINITY;

  constructor(script: UnitScript) {
    this.script = script;
    this.written = script.past.map(({ atMs, line }) => this.record(atMs, line, atMs));
    for (const visit of script.visits) this.plan(visit);
  }

  /** Does what is due, oldest first. `fusesOpenedAtMs` is null while all fuses are whole. */
  step(
    atMs: number,
    fusesOpenedAtMs: number | null,
    openPhases: readonly string[],
    hands: Hands,
  ): void {
    this.noticeOpenFuses(fusesOpenedAtMs, openPhases);
    for (let next = this.steps[0]; next !== undefined && next.atMs <= atMs; next = this.steps[0]) {
      this.steps.shift();
      if (next.disconnect === 'open') hands.openDisconnect();
      if (next.disconnect === 'as-it-is') {
        const actions = next.lines.map(({ action }) => action);
        hands.work(next.atMs, next.effects, actions);
      }
      if (next.effects.includes('fuses-replaced')) this.swapPlannedForMs = null;
      if (next.disconnect === 'close') hands.closeDisconnect();
      if (next.recordedAfterMs === null) continue;
      const writtenAtMs = next.atMs + next.recordedAfterMs;
      for (const line of next.lines) this.write(this.record(next.atMs, line, writtenAtMs));
    }
    this.nowMs = atMs;
  }

  doorOpen(atMs: number): boolean {
    return atMs < this.doorOpenUntilMs && this.steps.length > 0 && this.visiting(atMs);
  }

  /** Records written since the last call, oldest first. */
  takeRecords(): readonly ServiceRecord[] {
    let count = 0;
    for (const { writtenAtMs } of this.written) {
      if (writtenAtMs > this.nowMs) break;
      count += 1;
    }
    return count === 0 ? NO_RECORDS : this.written.splice(0, count);
  }

  private visiting(atMs: number): boolean {
    const next = this.steps[0];
    return next !== undefined && next.disconnect !== 'open' && next.atMs > atMs;
  }

  private noticeOpenFuses(openedAtMs: number | null, openPhases: readonly string[]): void {
    const after = this.script.fusesSwappedAfterMs;
    if (after === null || openedAtMs === null || this.swapPlannedForMs !== null) return;
    this.swapPlannedForMs = openedAtMs + after;
    this.plan({
      atMs: this.swapPlannedForMs,
      disconnectOpenMs: SWAP_MS,
      effects: ['fuses-replaced'],
      lines: [
        {
          action: 'fuses-replaced',
          phases: [...openPhases],
          newFusesChecked: true,
          note: 'All loads test good. Runs again. Cause not found.',
        },
      ],
      recordedAfterMs:
        this.script.swapsRecordedAfterMs === undefined ? 0 : this.script.swapsRecordedAfterMs,
    });
  }

  private plan(visit: Visit): void {
    const endMs = visit.atMs + visit.disconnectOpenMs;
    const { recordedAfterMs = 0 } = visit;
    if (visit.disconnectOpenMs === 0) {
      this.insert({
        atMs: visit.atMs,
        effects: visit.effects,
        disconnect: 'as-it-is',
        lines: visit.lines,
        recordedAfterMs,
      });
      return;
    }
    const half = visit.atMs + visit.disconnectOpenMs / 2;
    this.insert({
      atMs: visit.atMs,
      effects: [],
      disconnect: 'open',
      lines: [{ action: 'disconnect-opened' }],
      recordedAfterMs,
    });
    this.insert({
      atMs: half,
      effects: visit.effects,
      disconnect: 'as-it-is',
      lines: visit.lines,
      recordedAfterMs,
    });
    this.insert({
      atMs: endMs,
      effects: [],
      disconnect: 'close',
      lines: [{ action: 'disconnect-closed' }],
      recordedAfterMs,
    });
    this.doorOpenUntilMs = Math.max(this.doorOpenUntilMs, endMs);
  }

  private insert(step: PlannedStep): void {
    this.steps.push(step);
    this.steps.sort((left, right) => left.atMs - right.atMs);
  }

  private write(record: ServiceRecord): void {
    this.written.push(record);
    this.written.sort((left, right) => left.writtenAtMs - right.writtenAtMs);
  }

  private record(atMs: number, line: ServiceLine, writtenAtMs: number): ServiceRecord {
    return { site: this.script.site, unit: this.script.unit, atMs, line, writtenAtMs };
  }
}
