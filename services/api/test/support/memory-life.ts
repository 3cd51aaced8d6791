import {
  type AlarmLifeRecords,
  type AlarmVerdict,
  type PageRequest,
  StoreError,
  type UnitHold,
  type UnitRef,
} from '@lineside/storage';
import { MemoryOnCall } from './memory-on-call.ts';

/** Holds and verdicts in memory, beside what on-call routes use. */
export class MemoryLife extends MemoryOnCall implements AlarmLifeRecords {
  readonly holds = new Map<string, UnitHold>();
  readonly verdictList: AlarmVerdict[] = [];

  async addUnitHold(hold: UnitHold) {
    this.holds.set(hold.id, hold);
  }
  async endUnitHold(id: string, endedAtMs: number, endedBy: string) {
    const hold = this.holds.get(id);
    if (hold === undefined) return false;
    const isOver = hold.endedAtMs !== null || hold.untilMs <= endedAtMs;
    if (!isOver) this.holds.set(id, { ...hold, endedAtMs, endedBy });
    return true;
  }
  async unitHoldsAt(nowMs: number) {
    return [...this.holds.values()].filter((one) => (one.endedAtMs ?? one.untilMs) > nowMs);
  }
  async unitHolds({ site, unit, limit, cursor }: UnitRef & PageRequest) {
    const start = placeOf(cursor);
    const ofUnit = [...this.holds.values()].filter((one) => one.site === site && one.unit === unit);
    return pageFrom(
      ofUnit.sort((a, b) => b.fromMs - a.fromMs),
      start,
      limit,
    );
  }
  async setVerdict(verdict: AlarmVerdict) {
    const isSame = (one: AlarmVerdict) => one.alarmId === verdict.alarmId && one.by === verdict.by;
    const at = this.verdictList.findIndex(isSame);
    if (at === -1) this.verdictList.push(verdict);
    else this.verdictList[at] = verdict;
  }
  async verdictsOf(alarmId: string) {
    const ofAlarm = this.verdictList.filter((one) => one.alarmId === alarmId);
    return ofAlarm.sort((one, other) => other.atMs - one.atMs);
  }
  async verdicts({ limit, cursor }: PageRequest) {
    const sorted = [...this.verdictList].sort((one, other) => one.atMs - other.atMs);
    return pageFrom(sorted, placeOf(cursor), limit);
  }
}

/** A cursor is how many items were sent. */
function placeOf(cursor: string | null): number {
  if (cursor === null) return 0;
  if (!/^\d+$/.test(cursor)) throw new StoreError('STORE_BAD_INPUT', 'not a cursor');
  return Number(cursor);
}

function pageFrom<T>(items: readonly T[], start: number, limit: number) {
  const next = start + limit < items.length ? `${start + limit}` : null;
  return { items: items.slice(start, start + limit), next };
}
