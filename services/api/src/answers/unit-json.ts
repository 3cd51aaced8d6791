import { rfc3339 } from '@lineside/alarms';
import type { Fleet, Site, Unit } from '@lineside/fleet';
import type { Reading } from '@lineside/readings';
import type { LiveView } from '../dependencies.ts';
import type { HoldJson } from '../schemas/hold.ts';
import type { LastReadingJson, NameplateJson, UnitJson } from '../schemas/unit.ts';
import type { AlarmAnswer } from './alarm-answer.ts';
import { conditionJson } from './condition-json.ts';

/** What the stores and the live view know about the units of an answer. */
export interface UnitSurroundings {
  readonly sites: ReadonlyMap<string, Site>;
  readonly live: LiveView;
  /** By `unitKey`. */
  readonly online: ReadonlyMap<string, boolean>;
  /** Standing alarms by `unitKey`. */
  readonly alarms: ReadonlyMap<string, readonly AlarmAnswer[]>;
  /** Holds in force by `unitKey`. */
  readonly holds: ReadonlyMap<string, HoldJson>;
}

export function unitKey(site: string, unit: string): string {
  return `${site}/${unit}`;
}

export function sitesById(fleet: Fleet): ReadonlyMap<string, Site> {
  return new Map(fleet.sites.map((site) => [site.id, site]));
}

export function unitJson(unit: Unit, around: UnitSurroundings): UnitJson {
  const key = unitKey(unit.site, unit.id);
  const site = around.sites.get(unit.site);
  const online = around.online.get(key);
  const reading = around.live.latest(unit.site, unit.id);
  const condition = around.live.condition(unit.site, unit.id);
  return {
    site: unit.site,
    siteName: site?.name ?? unit.site,
    timezone: site?.timezone ?? 'UTC',
    unit: unit.id,
    name: unit.name,
    presence: online === undefined ? null : presenceWord(online),
    lastReading: reading === null ? null : lastReadingJson(reading),
    condition: condition === null ? null : conditionJson(condition),
    alarms: around.alarms.get(key) ?? [],
    hold: around.holds.get(key) ?? null,
    nameplate: nameplateJson(unit),
    retired: unit.retired,
  };
}

function presenceWord(online: boolean): 'online' | 'offline' {
  return online ? 'online' : 'offline';
}

function lastReadingJson(reading: Reading): LastReadingJson {
  return { time: rfc3339(reading.atMs), channels: reading.channels };
}

function nameplateJson(unit: Unit): NameplateJson {
  const { supply, fuses, contactors, drive, access, roof, nodeSupply, limits } = unit;
  return { supply, fuses, contactors, drive, access, roof, nodeSupply, limits };
}
