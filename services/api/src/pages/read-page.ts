import { type Alarm, rfc3339 } from '@lineside/alarms';
import type { PageLink } from '@lineside/storage';
import {
  pageAlarm,
  pageAlarmDetail,
  pageSites,
  unitsByKey,
  worstOfPage,
} from '../answers/page-json.ts';
import { unitKey } from '../answers/unit-json.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { ApiError } from '../errors/api-error.ts';
import type { RotaDesk } from '../on-call/rota-desk.ts';
import type { PageJson, PageRefusal } from '../schemas/page-link.ts';
import { personOfPage } from './answer-page.ts';

/** More than anybody reads on a phone; the dashboard has them all. */
const LISTED_MOST = 300;
/** The worst ones are told in full at once. */
const TOLD_IN_FULL = 3;

/** The page as it is now, for the device that asks. Rejects with `StoreError`. */
export type ReadPage = (
  link: PageLink,
  buttons: PageJson['buttons'],
  refused: readonly PageRefusal[],
) => Promise<PageJson>;

export function pageReader(dependencies: ApiDependencies, desk: RotaDesk): ReadPage {
  const { records, fleet, pages, clock } = dependencies;
  return async (link, buttons, refused) => {
    const found = await Promise.all(link.alarmIds.map((id) => records.alarm(id)));
    const alarms = worstOfPage(link, found.filter(isKnown));
    const now = fleet();
    const units = unitsByKey(now);
    const inFull = alarms.slice(0, TOLD_IN_FULL);
    const details = inFull.map(async (alarm) => {
      const unit = units.get(unitKey(alarm.site, alarm.unit)) ?? null;
      return pageAlarmDetail(alarm, unit, await records.journalOf(alarm.id));
    });
    return {
      for: await personOfPage(link, desk),
      time: rfc3339(clock()),
      expires: rfc3339(link.expiresAtMs),
      buttons,
      sites: pageSites(alarms, now, (site) => pages.roofDanger(site)),
      alarms: alarms.slice(0, LISTED_MOST).map((alarm) => pageAlarm(alarm, units)),
      more: Math.max(0, alarms.length - LISTED_MOST),
      details: await Promise.all(details),
      refused,
    };
  };
}

const isKnown = (alarm: Alarm | null): alarm is Alarm => alarm !== null;

/** The alarm, if the page is about it; else 404. */
export async function alarmOnPage(
  records: Pick<ApiDependencies['records'], 'alarm'>,
  link: PageLink,
  id: string,
): Promise<Alarm> {
  const alarm = link.alarmIds.includes(id) ? await records.alarm(id) : null;
  if (alarm === null) throw new ApiError('API_NOT_FOUND', 'This alarm is not on this page.');
  return alarm;
}
