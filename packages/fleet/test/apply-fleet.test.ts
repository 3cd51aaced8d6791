import {
  applyFleet,
  type FleetDocument,
  parseFleetFile,
  parseStoredFleet,
  type StatedUnit,
  type StoredFleet,
  type StoredUnit,
  toFleet,
  type Unit,
} from '@lineside/fleet';
import { WrittenFileError } from '@lineside/written-file';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { HARBOUR_MALL, LEAST } from './fleet-texts.ts';

function applyAll(...texts: string[]): StoredFleet {
  let stored: StoredFleet | null = null;
  for (const text of texts) stored = applyFleet(stored, parseFleetFile(text, 'fleet.yaml'));
  if (stored === null) throw new Error('no fleet file was given');
  return stored;
}

function firstUnit(stored: StoredFleet): Unit {
  return toFleet(stored).units[0]!;
}

describe('a fleet', () => {
  it('has every field of the file', () => {
    const { sites, units } = toFleet(applyAll(HARBOUR_MALL));
    expect(sites).toEqual([
      {
        id: 'harbour-mall',
        name: 'Harbour Mall',
        timezone: 'America/Halifax',
        latitudeDegrees: 44.65,
        longitudeDegrees: -63.57,
      },
    ]);
    expect(units[0]).toMatchObject({
      site: 'harbour-mall',
      id: 'rtu-01',
      name: 'RTU-1, food court',
      supply: {
        volts: 600,
        hertz: 60,
        grounding: 'solid-wye',
        groundingAssumed: false,
        mcaAmps: 38,
        mopAmps: 50,
      },
      fuses: { class: 'RK5', amps: 50 },
      contactors: [
        { name: 'C1', load: 'compressor 1', poles: 3, flaAmps: 18 },
        { name: 'C2', load: 'fans', poles: 3, flaAmps: 6 },
      ],
      drive: false,
      access: 'Ladder C, hatch key at security, upper roof',
      roof: { x: 12, y: 5 },
      nodeSupply: 'battery',
      retired: false,
    });
  });

  it('has defaults for all that the file omits', () => {
    const { sites, units } = toFleet(applyAll(LEAST));
    expect(sites[0]).toMatchObject({ name: 'harbour-mall', timezone: 'UTC' });
    expect(units[0]).toMatchObject({
      name: 'rtu-01',
      supply: { volts: 600, hertz: 60, grounding: 'solid-wye', groundingAssumed: true },
      fuses: { class: null, amps: null },
      contactors: [],
      drive: false,
      access: null,
      roof: null,
      nodeSupply: null,
      limits: { leakageUrgentMilliamps: 10, silentUrgentMinutes: 240 },
    });
  });

  it.each(['corner-grounded-delta', 'high-leg-delta', 'ungrounded', 'high-resistance'])(
    'may be grounded as %s',
    (grounding) => {
      const text = LEAST.replace('volts: 600', `volts: 240, grounding: ${grounding}`);
      expect(firstUnit(applyAll(text)).supply).toMatchObject({
        grounding,
        groundingAssumed: false,
      });
    },
  );
});

describe('a later file', () => {
  it('keeps what it omits, what an earlier file stated included', () => {
    expect(toFleet(applyAll(HARBOUR_MALL, LEAST))).toEqual(toFleet(applyAll(HARBOUR_MALL)));
  });

  it('wins field by field, within sections too', () => {
    const later = LEAST.replace('volts: 600', 'volts: 480, mop: 60').concat(
      '        fuses: { amps: 60 }\n        limits: { leakageRoutine: 4 }\n',
    );
    const unit = firstUnit(applyAll(HARBOUR_MALL, later));
    expect(unit.supply).toMatchObject({ volts: 480, mcaAmps: 38, mopAmps: 60 });
    expect(unit.fuses).toEqual({ class: 'RK5', amps: 60 });
    expect(unit.limits).toMatchObject({ leakageRoutineMilliamps: 4, leakageUrgentMilliamps: 10 });
  });

  it('replaces the list of contactors as a whole', () => {
    const later = `${LEAST}        contactors: [ { name: C9 } ]\n`;
    expect(firstUnit(applyAll(HARBOUR_MALL, later)).contactors).toEqual([
      { name: 'C9', load: null, poles: null, flaAmps: null },
    ]);
  });

  it('retires units and whole sites that it does not name, and brings them back', () => {
    const others = 'sites:\n  - id: harbour-mall\n    units: []\n';
    const gone = applyAll(HARBOUR_MALL, others);
    expect(firstUnit(gone)).toEqual({ ...firstUnit(applyAll(HARBOUR_MALL)), retired: true });
    expect(firstUnit(applyAll(HARBOUR_MALL, 'sites: []')).retired).toBe(true);
    expect(toFleet(applyAll(HARBOUR_MALL, 'sites: []')).sites).toHaveLength(1);
    expect(toFleet(applyAll(HARBOUR_MALL, 'sites: []', LEAST))).toEqual(
      toFleet(applyAll(HARBOUR_MALL)),
    );
  });

  it('is refused when limits, old and new together, cross', () => {
    const later = `${LEAST}        limits: { leakageRoutine: 12 }\n`;
    expect(() => applyAll(HARBOUR_MALL, later)).toThrow(WrittenFileError);
    expect(() => applyAll(HARBOUR_MALL, later)).toThrow(
      'fleet.yaml: site harbour-mall, unit rtu-01, limits: expected leakageRoutine no higher ' +
        'than leakageUrgent, found 12 and 10',
    );
  });
});

const id = fc.stringMatching(/^[a-d]$/);
const unit: fc.Arbitrary<StatedUnit> = fc.record(
  {
    id,
    supply: fc.record(
      {
        volts: fc.constantFrom(208, 480, 600),
        hertz: fc.constantFrom(50, 60),
        mop: fc.integer({ min: 15, max: 100 }),
      },
      { requiredKeys: ['volts'] },
    ),
    name: fc.constantFrom('one', 'two'),
    drive: fc.boolean(),
    fuses: fc.record(
      { class: fc.constantFrom('J', 'CC'), amps: fc.nat({ max: 90 }).map((n) => n + 1) },
      { requiredKeys: [] },
    ),
    limits: fc.record({ leakageUrgent: fc.integer({ min: 1, max: 50 }) }, { requiredKeys: [] }),
    contactors: fc.array(fc.record({ name: fc.constantFrom('C1', 'C2') }), { maxLength: 3 }),
  },
  { requiredKeys: ['id', 'supply'] },
);
const units = fc.uniqueArray(unit, { selector: (one) => one.id, maxLength: 4 });
const documents: fc.Arbitrary<FleetDocument> = fc
  .uniqueArray(fc.record({ id, units }), { selector: (one) => one.id, maxLength: 3 })
  .map((sites) => ({ fileName: 'fleet.yaml', sites }));

function unitsOf(stored: StoredFleet): Map<string, StoredUnit> {
  return new Map(
    stored.sites.flatMap((site) => site.units.map((one) => [`${site.id}/${one.id}`, one])),
  );
}

describe('applying fleet files', () => {
  it('again changes nothing', () => {
    fc.assert(
      fc.property(fc.array(documents, { minLength: 1, maxLength: 4 }), (files) => {
        let stored: StoredFleet | null = null;
        for (const file of files) stored = applyFleet(stored, file);
        expect(applyFleet(stored, files.at(-1)!)).toEqual(stored);
      }),
    );
  });

  it('never loses a unit, and retires exactly those that the newest file does not name', () => {
    fc.assert(
      fc.property(documents, documents, (first, second) => {
        const before = applyFleet(null, first);
        const after = unitsOf(applyFleet(before, second));
        const named = new Set(
          second.sites.flatMap((site) => site.units.map((one) => `${site.id}/${one.id}`)),
        );
        for (const key of unitsOf(before).keys()) expect(after.has(key)).toBe(true);
        for (const [key, one] of after) expect(one.retired).toBe(!named.has(key));
      }),
    );
  });

  it('keeps omitted fields and takes stated ones', () => {
    fc.assert(
      fc.property(documents, documents, (first, second) => {
        const before = applyFleet(null, first);
        const known = unitsOf(before);
        const after = unitsOf(applyFleet(before, second));
        for (const site of second.sites) {
          for (const stated of site.units) {
            const key = `${site.id}/${stated.id}`;
            const result = after.get(key)!;
            const earlier = known.get(key);
            expect(result.name).toBe(stated.name ?? earlier?.name);
            expect(result.drive).toBe(stated.drive ?? earlier?.drive);
            expect(result.supply.mop).toBe(stated.supply.mop ?? earlier?.supply.mop);
            expect(result.fuses?.class).toBe(stated.fuses?.class ?? earlier?.fuses?.class);
            expect(result.contactors).toEqual(stated.contactors ?? earlier?.contactors);
          }
        }
      }),
    );
  });

  it('survives the record store, which keeps plain JSON', () => {
    fc.assert(
      fc.property(documents, documents, (first, second) => {
        const stored = applyFleet(applyFleet(null, first), second);
        expect(parseStoredFleet(JSON.parse(JSON.stringify(stored)))).toEqual(stored);
      }),
    );
  });

  it.each([
    null,
    undefined,
    1,
    'x',
    [],
    {},
    { version: 2, sites: [] },
    { version: 1, sites: [{}] },
  ])('does not read %j as a stored fleet', (json) => {
    expect(parseStoredFleet(json)).toBeNull();
  });
});
