import { rfc3339 } from '@lineside/alarms';
import type { ServiceRecord } from '@lineside/storage';
import type { ServiceJson } from '../schemas/service.ts';

/** A service record with its free fields; our own fields go before free ones of the same name. */
export function serviceJson(record: ServiceRecord): ServiceJson {
  return {
    ...record.body,
    id: record.id,
    site: record.site,
    unit: record.unit,
    time: rfc3339(record.atMs),
    action: record.action,
    recordedAt: rfc3339(record.recordedAtMs),
    recordedBy: record.recordedBy,
  };
}
