import type { Fleet } from '@lineside/fleet';
import { makeNodeCredential } from '@lineside/ingest';
import { WEATHER_UNIT } from '@lineside/readings';
import type { NodeCredentials } from '@lineside/rooftop';
import type { RecordStore } from '@lineside/storage';

/** New sign-ins for all units and outdoor stations of a fleet, by `<site>/<unit>`. */
export async function issueNodeCredentials(
  records: RecordStore,
  fleet: Fleet,
  nowMs: number,
): Promise<Record<string, NodeCredentials>> {
  const nodes = [
    ...fleet.sites.map((site) => ({ site: site.id, unit: WEATHER_UNIT })),
    ...fleet.units.filter((unit) => !unit.retired).map(({ site, id }) => ({ site, unit: id })),
  ];
  const issued: Record<string, NodeCredentials> = {};
  for (const { site, unit } of nodes) {
    const { username, password, credential } = makeNodeCredential(site, unit, nowMs);
    await records.setNodeCredential(credential);
    issued[`${site}/${unit}`] = { username, password };
  }
  return issued;
}
