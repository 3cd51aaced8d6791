import type {
  AlarmLifeRecords,
  AlarmVerdict,
  PageRequest,
  UnitHold,
  UnitRef,
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
  async unitHolds({ site, unit, limit }: UnitRef & PageRequest) {
    const ofUnit = [...this.holds.values()].filter((one) => one.site === site && one.unit === unit);
    return { items: ofUnit.sort((a, b) => b.fromMs - a.fromMs).slice(0, limit), next: null };
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
    const start = cursor === null ? 0 : Number(cursor);
    const sorted = [...this.verdictList].sort((one, other) => one.atMs - other.atMs);
    const next = start + limit < sorted.length ? `${start + limit}` : null;
    return { items: sorted.slice(start, start + limit), next };
  }
}
