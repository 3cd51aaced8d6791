import { pageLinkSecret, readPageLink, roofDangerOf } from '@lineside/alerting';
import type { LiveView, PageDoor } from '@lineside/api';
import { WEATHER_UNIT } from '@lineside/readings';
import type { OnCallRecords } from '@lineside/storage';

/** What the page behind a link asks: whose signature it is, and what the weather says. */
export async function pageDoor(
  records: Pick<OnCallRecords, 'secretOr'>,
  live: Pick<LiveView, 'latest'>,
  clock: () => number,
): Promise<PageDoor> {
  const secret = await pageLinkSecret(records);
  return {
    readLink: (signed) => readPageLink(secret, signed),
    roofDanger: (site) => roofDangerOf(live.latest(site, WEATHER_UNIT), clock()),
  };
}
