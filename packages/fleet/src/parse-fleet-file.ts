import { WEATHER_UNIT } from '@lineside/readings';
import { z } from 'zod';
import type { FleetDocument, StatedSite } from './fleet-document.ts';
import { FleetFileError, placeWords } from './fleet-file-error.ts';
import { type FleetYaml, parseFleetYaml } from './fleet-yaml.ts';
import { section, siteFields, unitFields } from './schema.ts';

/** Characters of a value that a message quotes. */
const FOUND_MOST_CHARACTERS = 60;

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
 * @throws FleetFileError whose message has the file, line and column, the place such as
 *   `sites[0].units[3].supply.volts`, what was expected there and what was found.
 */
export function parseFleetFile(text: string, fileName: string): FleetDocument {
  const yaml = parseFleetYaml(text, fileName);
  const parsed = file.safeParse(yaml.value);
  if (!parsed.success) throw schemaError(parsed.error.issues, yaml, fileName);
  const sites = parsed.data.sites;
  checkIds(sites, yaml, fileName);
  return { fileName, sites };
}

function schemaError(
  issues: readonly z.core.$ZodIssue[],
  yaml: FleetYaml,
  fileName: string,
): FleetFileError {
  const [issue] = issues;
  if (issue === undefined) return new FleetFileError(fileName, '', 'it is not a fleet file');
  const others = issues.length - 1;
  const more =
    others === 0 ? '' : `\n${others} more ${others === 1 ? 'mistake follows' : 'mistakes follow'}`;
  // The place of a wrong key is the key itself.
  const key = issue.code === 'unrecognized_keys' ? issue.keys[0] : undefined;
  const path = key === undefined ? issue.path : [...issue.path, key];
  const found = key === undefined ? foundWords(valueAt(yaml.value, path)) : `the key ${key}`;
  return wrong(fileName, yaml, path, `expected ${issue.message}, found ${found}${more}`);
}

function wrong(
  fileName: string,
  yaml: FleetYaml,
  path: readonly PropertyKey[],
  words: string,
): FleetFileError {
  const position = yaml.position(path);
  const place = position === '' ? fileName : `${fileName}:${position}`;
  return new FleetFileError(place, placeWords(path), words);
}

function checkIds(sites: readonly StatedSite[], yaml: FleetYaml, fileName: string): void {
  const siteIds = new Set<string>();
  for (const [siteIndex, { id, units }] of sites.entries()) {
    const sitePath = ['sites', siteIndex];
    const once = `expected an id that is used once, found ${id} again`;
    if (siteIds.has(id)) throw wrong(fileName, yaml, [...sitePath, 'id'], once);
    siteIds.add(id);
    const unitIds = new Set<string>();
    for (const [unitIndex, unit] of units.entries()) {
      const path = [...sitePath, 'units', unitIndex, 'id'];
      if (unit.id === WEATHER_UNIT) {
        const words = `expected another id, ${WEATHER_UNIT} stands for the outdoor station`;
        throw wrong(fileName, yaml, path, words);
      }
      if (unitIds.has(unit.id)) {
        const words = `expected an id that is used once in site ${id}, found ${unit.id} again`;
        throw wrong(fileName, yaml, path, words);
      }
      unitIds.add(unit.id);
    }
  }
}

function valueAt(value: unknown, path: readonly PropertyKey[]): unknown {
  let at = value;
  for (const step of path) {
    if (typeof at !== 'object' || at === null || !Object.hasOwn(at, step)) return undefined;
    at = Reflect.get(at, step);
  }
  return at;
}

function foundWords(value: unknown): string {
  if (value === undefined || value === null) return 'nothing';
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object') return 'a section';
  const words = typeof value === 'string' ? JSON.stringify(value) : String(value);
  const clipped =
    words.length > FOUND_MOST_CHARACTERS ? `${words.slice(0, FOUND_MOST_CHARACTERS)}…` : words;
  return typeof value === 'string' ? `the text ${clipped}` : `${typeof value} ${clipped}`;
}
