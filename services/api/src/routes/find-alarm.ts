import type { Alarm } from '@lineside/alarms';
import { mayReadSite, type Principal } from '../auth/principal.ts';
import type { ApiRecords } from '../dependencies.ts';
import { notFound } from '../errors/api-error.ts';

/** The alarm, withdrawn ones included. Rejects with 404 when the caller may see none by this id. */
export async function findAlarm(
  records: Pick<ApiRecords, 'alarm'>,
  principal: Principal,
  id: string,
): Promise<Alarm> {
  const alarm = await records.alarm(id);
  if (alarm === null || !mayReadSite(principal, alarm.site)) throw notFound('This alarm');
  return alarm;
}
