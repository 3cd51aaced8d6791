import { CLIMATES } from '../world/climate.ts';
import type { Scenario, UnitScript } from '../world/scenario.ts';
import { healthyScript } from '../world/world.ts';
import { winterStorm } from './demo-storm.ts';
import { bakery, gardenShop, laundry } from './demo-tracks.ts';

const MS_PER_HOUR = 3_600_000;
const MS_PER_DAY = 24 * MS_PER_HOUR;

/** How much history the demonstration needs for its faults to grow. */
export const DEMO_HISTORY_DAYS = 42;

/** It is always the end of January in the demonstration, so that it always looks the same. */
const SEASON_DAY_AT_NOW = 27;

/**
 * What happens to the demonstration fleet in the six weeks before `nowMs`. Two thirds of the units
 * are healthy; the others carry one fault each. Times keep their distance to `nowMs`.
 */
export function demoScenario(nowMs: number): Scenario {
  return {
    nowMs,
    startMs: nowMs - DEMO_HISTORY_DAYS * MS_PER_DAY,
    seasonDayAtNow: SEASON_DAY_AT_NOW,
    climates: {
      'gannet-wharf': CLIMATES['windy-harbour'],
      'cypress-landing': CLIMATES['humid-coast'],
      'antelope-flats': CLIMATES['high-plain'],
      'alder-fork': CLIMATES['rainy-valley'],
    },
    storms: [winterStorm('gannet-wharf', nowMs)],
    units: [
      fishHall(nowMs),
      coldStoreOffice(nowMs),
      smokehouse(nowMs),
      netLoft(nowMs),
      bakery(nowMs),
      laundry(nowMs),
      gardenShop(),
      dispatch(nowMs),
      workshop(nowMs),
      clinicKitchen(nowMs),
    ],
  };
}

/** A track to ground that the melt after the storm carries to a flash-over of two fuses. */
function fishHall(nowMs: number): UnitScript {
  return {
    ...healthyScript('gannet-wharf', 'rtu-01'),
    faults: [
      {
        kind: 'track-to-ground',
        phase: 'c',
        depositMicrosiemens: 17,
        wettingPointPercent: 62,
        carbonAtStart: 0.02,
        carbonPerKilojoule: 0.0003,
        flashOvers: [
          { notBeforeMs: nowMs - 30 * MS_PER_HOUR, aboveMilliamps: 33, opens: ['a', 'c'] },
        ],
      },
      {
        kind: 'water-ingress',
        opening: { facingDegrees: 70, catchSquareMetres: 0.012, drainBlocked: false },
      },
    ],
    node: { plateSensor: true, bursts: true, encoding: 'json' },
  };
}

/** Water in the compartment, but clean contactors: hardly any leakage. */
function coldStoreOffice(nowMs: number): UnitScript {
  return {
    ...healthyScript('gannet-wharf', 'rtu-02'),
    faults: [
      {
        kind: 'water-ingress',
        opening: { facingDegrees: 55, catchSquareMetres: 0.02, drainBlocked: true },
      },
    ],
    past: [
      {
        atMs: nowMs - 64 * MS_PER_DAY,
        line: { action: 'inspection', note: 'Door gasket torn on the latch side, ordered.' },
      },
    ],
    node: { plateSensor: true },
  };
}

/** A tired fuse opens while the unit runs; the motors go on with two phases until they trip. */
function smokehouse(nowMs: number): UnitScript {
  return {
    ...healthyScript('gannet-wharf', 'rtu-04'),
    faults: [{ kind: 'open-fuse', phase: 'c', notBeforeMs: nowMs - 5 * MS_PER_HOUR }],
  };
}

/** The mast on the net loft goes in the storm: the node keeps its readings for a day. */
function netLoft(nowMs: number): UnitScript {
  return {
    ...healthyScript('gannet-wharf', 'rtu-06'),
    faults: [
      {
        kind: 'network-outage',
        fromMs: nowMs - 98 * MS_PER_HOUR,
        toMs: nowMs - 73 * MS_PER_HOUR,
      },
    ],
  };
}

/** A winding to ground: leaks only while its compressor runs, and a little more each week. */
function dispatch(nowMs: number): UnitScript {
  return {
    ...healthyScript('antelope-flats', 'rtu-01'),
    faults: [
      {
        kind: 'load-insulation',
        contactor: 0,
        phase: 'b',
        fromMs: nowMs - 19 * MS_PER_DAY,
        milliamps: 5.5,
        milliampsPerWeek: 3.2,
      },
    ],
    node: { loadErrorPercent: 0.004 },
  };
}

/** A terminal that loosens: nothing for weeks, then the phase falls behind. */
function workshop(nowMs: number): UnitScript {
  return {
    ...healthyScript('antelope-flats', 'rtu-02'),
    faults: [
      {
        kind: 'loose-terminal',
        contactor: 0,
        phase: 'b',
        fromMs: nowMs - 30 * MS_PER_DAY,
        untilMs: nowMs,
        finalPercent: 26,
      },
    ],
    node: { voltages: true },
  };
}

/** The battery of the node is empty since the night. */
function clinicKitchen(nowMs: number): UnitScript {
  return {
    ...healthyScript('alder-fork', 'rtu-06'),
    faults: [{ kind: 'node-dead', fromMs: nowMs - 9 * MS_PER_HOUR }],
  };
}
