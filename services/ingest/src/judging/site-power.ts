import type { Alarm } from '@lineside/alarms';
import {
  type FindingChange,
  leftBehindMs,
  neighbourView,
  type PowerSlice,
  powerSpellStarts,
  sameBearing,
  withNeighbours,
} from '@lineside/anomaly';
import { alarmWithNeighbours, awaySinceMs } from '@lineside/judging';
import type { UnitRef } from '@lineside/storage';
import { unitKey } from '../fleet-index.ts';
import type { LateMark } from '../replay/late-mark.ts';
import { LateMarks } from '../replay/late-mark.ts';
import type { Watches } from './watches.ts';

/** A judgement keeps alarms at least so long; what is older is judged again to be sure. */
const ALARMS_KEPT_MS: number = 24 * 3_600_000;

/** What a unit tells of its power before and after something was judged. */
export interface PowerMove {
  readonly ref: UnitRef;
  readonly before: PowerSlice;
  readonly after: PowerSlice;
}

/**
 * The power of all units of a site, as the neighbours see it. Judgements stay each unit's own; what
 * neighbours bear on is put in where findings become alarms, so that it can be put in anew when a
 * neighbour's readings come late.
 */
export class SitePower {
  readonly #watches: Watches;
  readonly #moves: ReadonlyMap<string, PowerMove>;

  /** @param moves what is about to be adopted. */
  constructor(watches: Watches, moves: readonly PowerMove[]) {
    this.#watches = watches;
    this.#moves = new Map(moves.map((move) => [unitKey(move.ref.site, move.ref.unit), move]));
  }

  /** Findings of a unit with what its neighbours did taken into account. */
  changes(ref: UnitRef, changes: readonly FindingChange[]): readonly FindingChange[] {
    return changes.map((change) => {
      const sinceMs = awaySinceMs(this.#of(ref), change.kind, change.atMs);
      if (sinceMs === null) return change;
      const nowMs = change.kind === 'silent' ? change.atMs : null;
      return withNeighbours(change, neighbourView(this.#others(ref), sinceMs, nowMs));
    });
  }

  /** The same for alarms that a replay found. */
  alarms(ref: UnitRef, alarms: readonly Alarm[]): readonly Alarm[] {
    const others = this.#others(ref);
    return alarms.map((alarm) => alarmWithNeighbours(alarm, this.#of(ref), others, null));
  }

  /** Units whose alarms are other ones now that these neighbours tell more. */
  disturbed(): readonly LateMark[] {
    const late = new LateMarks();
    for (const move of this.#moves.values()) {
      if (move.before === move.after) continue;
      for (const watch of this.#watches.onSite(move.ref.site)) {
        if (watch.ref.unit === move.ref.unit) continue;
        const starts = powerSpellStarts(watch.state.watch.power);
        if (starts.length === 0) continue;
        const told = watch.state.alarms.filter(({ kind }) => kind === 'supply-loss');
        const keptFromMs = (watch.state.watch.instantMs ?? 0) - ALARMS_KEPT_MS;
        // Of its spells before this round: what is new is judged by what is known now.
        for (const sinceMs of starts) {
          if (sameBearing(move.before, move.after, sinceMs)) continue;
          const isTold = told.some(({ raisedAtMs }) => raisedAtMs >= sinceMs);
          if (isTold || sinceMs < keptFromMs) late.disturbed(watch.ref, sinceMs);
        }
      }
    }
    const sites = new Map<string, boolean>();
    for (const { ref, before, after } of this.#moves.values()) {
      const isOther = before.spells !== after.spells || before.deadFromMs !== after.deadFromMs;
      sites.set(ref.site, isOther || sites.get(ref.site) === true);
    }
    for (const [site, isOther] of sites) {
      for (const { ref } of this.#watches.onSite(site)) {
        // Time alone shows only of a unit that is dead that it was left behind.
        if (isOther || this.#of(ref).deadFromMs !== null) this.#leftBehind(ref, late);
      }
    }
    return late.all;
  }

  /** A unit that turns out to be left behind by an outage, or not to be, is judged again. */
  #leftBehind(ref: UnitRef, late: LateMarks): void {
    const own = this.#of(ref);
    const starts = powerSpellStarts(own);
    if (starts.length === 0) return;
    const ownBefore = this.#before(ref);
    const others = this.#others(ref);
    const othersBefore = this.#others(ref, true);
    for (const sinceMs of starts) {
      const now = leftBehindMs(own, others, sinceMs);
      if (now !== leftBehindMs(ownBefore, othersBefore, sinceMs)) late.disturbed(ref, sinceMs);
    }
  }

  #of(ref: UnitRef): PowerSlice {
    const move = this.#moves.get(unitKey(ref.site, ref.unit));
    return move?.after ?? this.#watches.of(ref.site, ref.unit).state.watch.power;
  }

  #before(ref: UnitRef): PowerSlice {
    return this.#watches.of(ref.site, ref.unit).state.watch.power;
  }

  #others(ref: UnitRef, before = false): readonly PowerSlice[] {
    const others: PowerSlice[] = [];
    for (const watch of this.#watches.onSite(ref.site)) {
      if (watch.ref.unit === ref.unit) continue;
      others.push(before ? this.#before(watch.ref) : this.#of(watch.ref));
    }
    return others;
  }
}
