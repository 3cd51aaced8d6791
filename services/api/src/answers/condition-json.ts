import { rfc3339 } from '@lineside/alarms';
import type { LeakageOutlook, UnitCondition } from '@lineside/anomaly';
import type { ConditionJson, LeakageOutlookJson } from '../schemas/condition.ts';

export function conditionJson(condition: UnitCondition): ConditionJson {
  const { atMs, wetting, leakageOutlook, ...figures } = condition;
  return {
    time: rfc3339(atMs),
    ...figures,
    wetting: wetting === null ? null : { since: rfc3339(wetting.sinceMs), source: wetting.source },
    leakageOutlook: leakageOutlook === null ? null : outlookJson(leakageOutlook),
  };
}

function outlookJson({ repair, ...figures }: LeakageOutlook): LeakageOutlookJson {
  if (repair === null) return { ...figures, repair };
  const { repairedAtMs, ...before } = repair;
  return { ...figures, repair: { repaired: rfc3339(repairedAtMs), ...before } };
}
