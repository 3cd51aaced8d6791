import type { AlarmLifeRecords, AlarmVerdict, UnitHold } from '@lineside/storage';
import { HOLD_KINDS, VERDICTS } from '@lineside/storage';
import { badInput, checkTimes, oldestFirstPageOf, pageOf } from './port-rules.ts';
import { conflict, type RecordDisk, refKey } from './record-disk.ts';
import type { Synchronous } from './store-lane.ts';

type VerdictPart = Pick<Synchronous<AlarmLifeRecords>, 'setVerdict' | 'verdictsOf' | 'verdicts'>;

export function memoryAlarmLife(disk: RecordDisk): Synchronous<AlarmLifeRecords> {
  return { ...memoryHolds(disk), ...memoryVerdicts(disk) };
}

function memoryHolds({
  holds,
}: RecordDisk): Omit<Synchronous<AlarmLifeRecords>, keyof VerdictPart> {
  return {
    addUnitHold: (hold) => {
      checkTimes('A hold', hold.fromMs, hold.untilMs, hold.endedAtMs);
      if (!HOLD_KINDS.includes(hold.kind)) throw badInput(`${hold.kind} is no kind of hold`);
      if (hold.id === '') throw badInput('a hold needs an id');
      if (holds.has(hold.id)) throw conflict(`hold ${hold.id} is there`);
      holds.set(hold.id, hold);
    },
    endUnitHold: (id, endedAtMs, endedBy) => {
      checkTimes('The end of a hold', endedAtMs);
      const hold = holds.get(id);
      if (hold === undefined) return false;
      const isOver = hold.endedAtMs !== null || hold.untilMs <= endedAtMs;
      if (!isOver) holds.set(id, { ...hold, endedAtMs, endedBy });
      return true;
    },
    unitHoldsAt: (nowMs) =>
      [...holds.values()]
        .filter(({ untilMs, endedAtMs }) => Math.min(untilMs, endedAtMs ?? untilMs) > nowMs)
        .sort(byUnitAndBegin),
    unitHolds: ({ site, unit, ...request }) => {
      const ofUnit = [...holds.values()].filter((one) => one.site === site && one.unit === unit);
      return pageOf('unit-holds', request, ofUnit, ({ fromMs, id }) => ({ key: fromMs, id }));
    },
  };
}

function memoryVerdicts({ verdicts }: RecordDisk): VerdictPart {
  return {
    setVerdict: (verdict) => {
      checkTimes('A verdict', verdict.atMs);
      if (!VERDICTS.includes(verdict.verdict)) throw badInput(`${verdict.verdict} is no verdict`);
      if (verdict.alarmId === '') throw badInput('a verdict needs the id of its alarm');
      verdicts.set(idsOf(verdict), verdict);
    },
    verdictsOf: (alarmId) =>
      [...verdicts.values()]
        .filter((one) => one.alarmId === alarmId)
        .sort((one, other) => other.atMs - one.atMs || (one.by < other.by ? 1 : -1)),
    verdicts: (query) =>
      oldestFirstPageOf('verdicts', query, [...verdicts.values()], (verdict) => ({
        key: verdict.atMs,
        id: idsOf(verdict),
      })),
  };
}

function idsOf({ alarmId, by }: AlarmVerdict): string {
  return `${alarmId}\n${by}`;
}

function byUnitAndBegin(one: UnitHold, other: UnitHold): number {
  if (refKey(one) !== refKey(other)) return refKey(one) < refKey(other) ? -1 : 1;
  return one.fromMs - other.fromMs || (one.id < other.id ? -1 : 1);
}
