import type { Fault, FaultKind } from '../world/fault-kinds.ts';
import { PHASES, type Phase } from '../world/scenario.ts';
import { FAULT_RULES } from './fault-rules.ts';
import type { FaultTruth } from './truth.ts';

/** Spells in which a fault shows while wet are one if the break between them is shorter. */
const SPELL_BREAK_MS = 3 * 3_600_000;

interface Entry {
  readonly fault: Fault;
  readonly onsetMs: number;
  observableMs: number | null;
  readonly wettingsMs: number[];
  lastWetMs: number;
  failureMs: number | null;
  tellableMs: number | null;
  readonly fusesOpened: Set<Phase>;
  /** What the phases carried before their fuses opened, A. */
  ampsBefore: number;
  endedMs: number | null;
}

/** Writes down what became of each fault of one unit. */
export class FaultLog {
  private readonly entries: readonly Entry[];

  constructor(faults: readonly Fault[], startMs: number) {
    this.entries = faults.map((fault) => ({
      fault,
      onsetMs: Math.max(startMs, onsetOf(fault) ?? startMs),
      observableMs: null,
      wettingsMs: [],
      lastWetMs: Number.NEGATIVE_INFINITY,
      failureMs: stopsAtOnce(fault) ? Math.max(startMs, onsetOf(fault) ?? startMs) : null,
      tellableMs: null,
      fusesOpened: new Set<Phase>(),
      ampsBefore: 0,
      endedMs: null,
    }));
  }

  /** A sampled moment at which the fault shows on a channel; `wet`: while its deposit is wet. */
  observed(fault: number, atMs: number, wet: boolean): void {
    const entry = this.entries[fault];
    if (entry === undefined || entry.endedMs !== null || atMs < entry.onsetMs) return;
    entry.observableMs ??= atMs;
    if (!wet) return;
    if (atMs - entry.lastWetMs > SPELL_BREAK_MS) entry.wettingsMs.push(atMs);
    entry.lastWetMs = atMs;
  }

  fail(fault: number, atMs: number, opened: readonly Phase[], ampsBefore: number): void {
    const entry = this.entries[fault];
    if (entry === undefined) return;
    entry.failureMs ??= atMs;
    for (const phase of opened) entry.fusesOpened.add(phase);
    entry.ampsBefore = ampsBefore;
  }

  /** Ends all faults of these kinds that have begun and not ended; gives their indices. */
  end(kinds: readonly FaultKind[], atMs: number): number[] {
    const ended: number[] = [];
    for (const [index, entry] of this.entries.entries()) {
      const begun = entry.onsetMs <= atMs && entry.endedMs === null;
      if (!begun || !kinds.includes(entry.fault.kind)) continue;
      // A fuse that has not opened yet is not replaced because of it.
      if (isFuse(entry.fault.kind) && entry.failureMs === null) continue;
      entry.endedMs = atMs;
      ended.push(index);
    }
    return ended;
  }

  /** Whether it has lost a phase or the supply and nothing that the node sent has told so yet. */
  waitsForTelling(fault: number): boolean {
    const entry = this.entries[fault];
    if (entry === undefined || entry.failureMs === null || entry.tellableMs !== null) return false;
    return entry.endedMs === null && entry.fault.kind !== 'node-dead';
  }

  tellable(fault: number, atMs: number): void {
    const entry = this.entries[fault];
    if (entry !== undefined) entry.tellableMs ??= atMs;
  }

  hasEnded(fault: number): boolean {
    return this.entries[fault]?.endedMs !== null;
  }

  failedWith(fault: number): { readonly failed: boolean; readonly ampsBefore: number } {
    const entry = this.entries[fault];
    return { failed: entry?.failureMs != null, ampsBefore: entry?.ampsBefore ?? 0 };
  }

  truth(endMs: number): FaultTruth[] {
    return this.entries
      .filter((entry) => entry.onsetMs <= endMs)
      .map((entry) => ({
        fault: entry.fault.kind,
        side: FAULT_RULES[entry.fault.kind].side,
        phases: phasesOf(entry.fault),
        onsetMs: entry.onsetMs,
        observableMs: entry.observableMs,
        observableWettingsMs: [...entry.wettingsMs],
        failureMs: entry.failureMs,
        tellableMs: entry.tellableMs,
        fusesOpened: PHASES.filter((phase) => entry.fusesOpened.has(phase)),
        endedMs: entry.endedMs ?? ownEnd(entry.fault, endMs),
      }));
  }
}

function isFuse(kind: FaultKind): boolean {
  return kind === 'open-fuse' || kind === 'fuses-gone';
}

/** What loses a phase, the supply or the node by beginning. */
function stopsAtOnce(fault: Fault): boolean {
  return (
    fault.kind === 'utility-phase-lost' ||
    fault.kind === 'disconnect-open' ||
    fault.kind === 'node-dead'
  );
}

function onsetOf(fault: Fault): number | undefined {
  if (fault.kind === 'open-fuse') return fault.notBeforeMs;
  if (fault.kind === 'fuses-gone') return fault.atMs;
  return fault.kind === 'water-ingress' ? fault.opening.fromMs : fault.fromMs;
}

function ownEnd(fault: Fault, endMs: number): number | null {
  const toMs = 'toMs' in fault ? fault.toMs : undefined;
  return toMs === undefined || toMs > endMs ? null : toMs;
}

function phasesOf(fault: Fault): readonly Phase[] {
  if ('phases' in fault) return fault.phases;
  if ('phase' in fault) return [fault.phase];
  if (fault.kind === 'compressor-grounded') return fault.opens;
  return fault.kind === 'transformer-slipped' && fault.on !== 'leak' ? [fault.on] : [];
}
