import { rfc3339 } from '@lineside/alarms';
import type { UnitHold } from '@lineside/storage';
import type { HoldJson } from '../schemas/hold.ts';

export function holdJson(hold: UnitHold): HoldJson {
  const { id, site, unit, kind, owner, reason, endedBy } = hold;
  return {
    id,
    site,
    unit,
    kind,
    owner,
    reason,
    from: rfc3339(hold.fromMs),
    until: rfc3339(hold.untilMs),
    ended: hold.endedAtMs === null ? null : rfc3339(hold.endedAtMs),
    endedBy,
  };
}
