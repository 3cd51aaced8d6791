import { rfc3339 } from '@lineside/alarms';
import type { UnitCondition } from '@lineside/anomaly';
import type { ConditionJson } from '../schemas/unit.ts';

export function conditionJson(condition: UnitCondition): ConditionJson {
  const { atMs, wetting, ...figures } = condition;
  return {
    time: rfc3339(atMs),
    ...figures,
    wetting: wetting === null ? null : { since: rfc3339(wetting.sinceMs), source: wetting.source },
  };
}
