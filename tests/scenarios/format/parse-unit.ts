/** Header lines about the unit: nameplate, loads, limits. */
import {
  type Contactor,
  GROUNDINGS,
  type Grounding,
  LIMIT_KEYS,
  type LimitKey,
  limitsFor,
  type StatedLimits,
  type Unit,
} from '@lineside/fleet';
import { CaseError, offered, type Place } from './case-error.ts';

export interface UnitLines {
  volts: number;
  grounding: Grounding;
  drive: boolean;
  nodeSupply: Unit['nodeSupply'];
  fuses: Unit['fuses'];
  contactors: Contactor[];
  limits: { [key in LimitKey]?: number };
}

/** A unit of which a case says nothing more. */
export function unitNotDescribed(): UnitLines {
  return {
    volts: 600,
    grounding: 'solid-wye',
    drive: false,
    nodeSupply: 'battery',
    fuses: { class: 'RK5', amps: 50 },
    contactors: [],
    limits: {},
  };
}

const USUAL_CONTACTORS: readonly Contactor[] = [
  { name: 'C1', load: 'compressor 1', poles: 3, flaAmps: 18 },
  { name: 'C2', load: 'fans', poles: 3, flaAmps: 6 },
];

const UNIT_PARTS = [
  '600 V solid-wye',
  'fuses RK5 50 A',
  'node battery',
  'node unit-24v',
  'drive yes',
  'drive no',
];

/** `600 V solid-wye, fuses RK5 50 A, node battery, drive no`; each part may be left out. */
export function readUnitLine(text: string, unit: UnitLines, place: Place): void {
  for (const part of text.split(',').map((each) => each.trim())) {
    const supply = /^(\d+) V (\S+)$/.exec(part);
    const fuses = /^fuses (\S+) (\d+) A$/.exec(part);
    if (supply !== null) {
      unit.volts = Number(supply[1]);
      unit.grounding = groundingOf(supply[2] ?? '', place);
    } else if (fuses !== null) {
      unit.fuses = { class: fuses[1] ?? null, amps: Number(fuses[2]) };
    } else if (part === 'node battery' || part === 'node unit-24v') {
      unit.nodeSupply = part === 'node battery' ? 'battery' : 'unit-24v';
    } else if (part === 'drive yes' || part === 'drive no') {
      unit.drive = part === 'drive yes';
    } else {
      throw new CaseError(place, `'${part}' says nothing of a unit`, offered(UNIT_PARTS));
    }
  }
}

function groundingOf(text: string, place: Place): Grounding {
  const found = GROUNDINGS.find((each) => each === text);
  if (found !== undefined) return found;
  throw new CaseError(place, `'${text}' is no grounding of a supply`, offered(GROUNDINGS));
}

/** `compressor 1, 3 poles, 18 A` */
export function readLoadLine(text: string, unit: UnitLines, place: Place): void {
  const match = /^(.+), (\d) poles, (\d+(?:\.\d+)?) A$/.exec(text);
  if (match === null) {
    throw new CaseError(place, `'${text}' is no load`, "'compressor 1, 3 poles, 18 A'");
  }
  const [, load = null, poles, amps] = match;
  const name = `C${unit.contactors.length + 1}`;
  unit.contactors.push({ name, load, poles: Number(poles), flaAmps: Number(amps) });
}

const LIMIT_UNITS: Readonly<Record<string, string>> = {
  leakage: 'mA',
  unbalance: '%',
  'voltage unbalance': '%',
  silent: 'min',
};

/** `leakage urgent 20 mA, silent routine 30 min` */
export function readLimitsLine(text: string, unit: UnitLines, place: Place): void {
  for (const part of text.split(',').map((each) => each.trim())) {
    const match = /^(.+) (routine|urgent|emergency) (\d+(?:\.\d+)?) (mA|%|min)$/.exec(part);
    const [, what = '', level = '', value, written] = match ?? [];
    const key = limitKey(what, level);
    if (key === null || LIMIT_UNITS[what] !== written) {
      const words = Object.entries(LIMIT_UNITS).map(
        ([name, limit]) => `${name} urgent 10 ${limit}`,
      );
      throw new CaseError(place, `'${part}' is no limit`, offered(words));
    }
    unit.limits[key] = Number(value);
  }
}

function limitKey(what: string, level: string): LimitKey | null {
  const joined = `${what} ${level}`.replaceAll(/ (\w)/g, (_, letter: string) =>
    letter.toUpperCase(),
  );
  const keys = Object.keys(LIMIT_KEYS) as LimitKey[];
  return keys.find((key) => key === joined) ?? null;
}

/** The unit as the watches take it. */
export function unitOf(id: string, lines: UnitLines): Unit {
  const stated: StatedLimits = lines.limits;
  return {
    site: 'harbour-mall',
    id,
    name: id,
    supply: {
      volts: lines.volts,
      hertz: 60,
      grounding: lines.grounding,
      groundingAssumed: false,
      mcaAmps: null,
      mopAmps: null,
    },
    fuses: lines.fuses,
    contactors: lines.contactors.length === 0 ? USUAL_CONTACTORS : lines.contactors,
    drive: lines.drive,
    access: null,
    roof: null,
    nodeSupply: lines.nodeSupply,
    limits: limitsFor(stated, lines.drive),
    retired: false,
  };
}
