import { WEATHER_UNIT } from '@lineside/readings';
import {
  mistakeAt,
  parseWrittenYaml,
  schemaMistake,
  section,
  type WrittenYaml,
} from '@lineside/written-file';
import { z } from 'zod';
import type { FleetDocument, StatedSite } from './fleet-document.ts';
import { siteFields, unitFields } from './schema.ts';

/** 16 million characters: some 30,000 units, far above one company's fleet. */
const FLEET_FILE_MOST_CHARACTERS = 16_000_000;

const site = section({
  ...siteFields,
  units: z.array(section(unitFields), { error: 'a list of units' }).default([]),
});

const file = section({ sites: z.array(site, { error: 'a list of sites' }) });

/**
 * Reads a fleet file, YAML or JSON.
 *
 * @param text the content of the file.
 * @param fileName only for messages.
 * @throws WrittenFileError whose message has the file, line and column, the place such as
 *   `sites[0].units[3].supply.volts`, what was expected there and what was found.
 */
export function parseFleetFile(text: string, fileName: string): FleetDocument {
  const yaml = parseWrittenYaml(text, fileName, FLEET_FILE_MOST_CHARACTERS);
  const parsed = file.safeParse(yaml.value);
  if (!parsed.success) throw schemaMistake(parsed.error.issues, yaml, fileName, 'a fleet file');
  const sites = parsed.data.sites;
  checkIds(sites, yaml, fileName);
  return { fileName, sites };
}

function checkIds(sites: readonly StatedSite[], yaml: WrittenYaml, fileName: string): void {
  const siteIds = new Set<string>();
  for (const [siteIndex, { id, units }] of sites.entries()) {
    const sitePath = ['sites', siteIndex];
    const once = `expected an id that is used once, found ${id} again`;
    if (siteIds.has(id)) throw mistakeAt(fileName, yaml, [...sitePath, 'id'], once);
    siteIds.add(id);
    const unitIds = new Set<string>();
    for (const [unitIndex, unit] of units.entries()) {
      const path = [...sitePath, 'units', unitIndex, 'id'];
      if (unit.id === WEATHER_UNIT) {
        const words = `expected another id, ${WEATHER_UNIT} stands for the outdoor station`;
        throw mistakeAt(fileName, yaml, path, words);
      }
      if (unitIds.has(unit.id)) {
        const words = `expected an id that is used once in site ${id}, found ${unit.id} again`;
        throw mistakeAt(fileName, yaml, path, words);
      }
      unitIds.add(unit.id);
    }
  }
}
