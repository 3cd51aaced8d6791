import type { UnitScript } from '../world/scenario.ts';
import { healthyScript } from '../world/world.ts';

const MS_PER_HOUR = 3_600_000;
const MS_PER_DAY = 24 * MS_PER_HOUR;

/** A track to ground that is found and repaired before it takes the fuses. */
export function bakery(nowMs: number): UnitScript {
  const repairMs = nowMs - 12 * MS_PER_DAY;
  return {
    ...healthyScript('cypress-landing', 'rtu-01'),
    faults: [
      {
        kind: 'track-to-ground',
        phase: 'a',
        depositMicrosiemens: 7,
        wettingPointPercent: 64,
        carbonAtStart: 0.03,
        carbonPerKilojoule: 0.0005,
        flashOvers: [],
      },
    ],
    visits: [
      {
        atMs: repairMs,
        disconnectOpenMs: 2.5 * MS_PER_HOUR,
        effects: ['track-removed', 'sealed'],
        lines: [
          {
            action: 'inspection',
            found: 'Tracking marks from the line terminal of C1, phase a, to the back-plate.',
          },
          { action: 'contactor-replaced', contactor: 'C1' },
          { action: 'cleaned', note: 'Back-plate and contactors.' },
          { action: 'insulation-test', megohms: 410, testVolts: 500, celsius: 16, dried: true },
          {
            action: 'root-cause',
            note: 'Conduit entry unsealed, humid air from the building. Sealed, neutral-cure.',
          },
        ],
      },
    ],
    node: { plateSensor: true, bursts: true },
  };
}

/** Fuses blow, every load tests good, the fuses are replaced: three times within eleven weeks. */
export function laundry(nowMs: number): UnitScript {
  return {
    ...healthyScript('cypress-landing', 'rtu-02'),
    faults: [
      {
        kind: 'track-to-ground',
        phase: 'b',
        depositMicrosiemens: 8,
        wettingPointPercent: 63,
        carbonAtStart: 0.1,
        carbonPerKilojoule: 0.0001,
        flashOvers: [
          { notBeforeMs: nowMs - 33 * MS_PER_DAY, aboveMilliamps: 7, opens: ['b'] },
          { notBeforeMs: nowMs - 11 * MS_PER_DAY, aboveMilliamps: 9, opens: ['b', 'c'] },
        ],
      },
    ],
    past: [
      {
        atMs: nowMs - 71 * MS_PER_DAY,
        line: {
          action: 'fuses-replaced',
          phases: ['b'],
          note: 'All loads test good. Runs again. Cause not found.',
        },
      },
    ],
    fusesSwappedAfterMs: 15 * MS_PER_HOUR,
    node: { resistiveLeakage: true },
  };
}

/** A film from pole to pole: nothing to ground, an extra idle current in two phases when wet. */
export function gardenShop(): UnitScript {
  return {
    ...healthyScript('cypress-landing', 'rtu-04'),
    faults: [
      {
        kind: 'track-between-poles',
        phases: ['b', 'c'],
        depositMicrosiemens: 420,
        wettingPointPercent: 60,
        carbonAtStart: 0.05,
        carbonPerKilojoule: 0.00001,
        flashOvers: [],
      },
    ],
    node: { plateSensor: true },
  };
}
