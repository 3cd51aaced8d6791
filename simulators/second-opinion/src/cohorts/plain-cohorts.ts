import { applyFleet, type Grounding, parseFleetFile, toFleet } from '@lineside/fleet';
import { Chance } from '../chance.ts';
import type { PlainFault, PlainLookAlike, PlainPlan, PlainUnitPlan } from '../plan.ts';
import { plainSeed, RANGES } from '../ranges.ts';
import { PLAIN_CLIMATE_NAMES } from '../weather/climates.ts';
import * as faults from './fault-draws.ts';
import { lookAlike } from './look-alike-draws.ts';

/** A named kind of cases of the second world. */
export interface PlainCohort {
  readonly name: string;
  readonly healthy: boolean;
  readonly fault: ((draw: faults.PlainDraw) => PlainFault) | null;
  /** What all units of the site have; each draws its own unless it is the site's. */
  readonly looksLike: PlainLookAlike['kind'] | null;
  readonly units: readonly [number, number];
  readonly groundings: readonly Grounding[];
  /** Day of the year at the start; null: any. */
  readonly season: readonly [number, number] | null;
}

const START_MS: number = Date.UTC(2026, 0, 5);
const WEEK_MS = 604_800_000;
const SITE = 'plain';
const VOLTS: Readonly<Record<Grounding, readonly number[]>> = {
  'solid-wye': [208, 480, 600],
  'corner-grounded-delta': [240, 480],
  'high-leg-delta': [240],
  ungrounded: [480],
  'high-resistance': [480, 600],
};
const FLOATING: readonly Grounding[] = ['ungrounded', 'high-resistance'];
const DELTAS: readonly Grounding[] = ['corner-grounded-delta', 'high-leg-delta'];
/** What happens to all units of a site in the same minute. */
const OF_THE_SITE: readonly string[] = ['neighbour-ground', 'utility-outage', 'gateway-loss'];

function broken(
  name: string,
  fault: (draw: faults.PlainDraw) => PlainFault,
  more: Partial<PlainCohort> = {},
): PlainCohort {
  return { ...healthy(name, null), healthy: false, fault, ...more };
}

function healthy(name: string, looksLike: PlainLookAlike['kind'] | null): PlainCohort {
  const units: [number, number] = OF_THE_SITE.includes(looksLike ?? '') ? [2, 4] : [1, 1];
  const season: [number, number] | null =
    looksLike === 'frozen-snow' || looksLike === 'building-air' ? [330, 380] : null;
  const groundings: Grounding[] = looksLike === 'neighbour-ground' ? [...FLOATING] : ['solid-wye'];
  return { name, healthy: true, fault: null, looksLike, units, groundings, season };
}

/** In the order of their seeds: a new cohort goes to the end. */
export const PLAIN_COHORTS: readonly PlainCohort[] = [
  broken('track to ground, wye', faults.trackToGround),
  broken('track to ground, delta', faults.trackToGround, { groundings: DELTAS }),
  broken('track to ground, floating', faults.trackToGround, {
    groundings: FLOATING,
    units: [2, 3],
  }),
  broken('pole to pole', faults.poleToPole),
  broken('load insulation', faults.loadInsulation),
  broken('water ingress', faults.waterIngress),
  broken('vermin', faults.vermin),
  broken('open fuse', (draw) => faults.phaseLoss('open-fuse', draw)),
  broken('hot fuse clip', (draw) => faults.phaseLoss('hot-fuse-clip', draw)),
  broken('utility phase lost', faults.utilityPhaseLost),
  broken('fuses gone', faults.fusesGone),
  broken('compressor grounded', faults.compressorGrounded),
  broken('disconnect open', (draw) => faults.switchedOff('disconnect-open', draw)),
  broken('worn pole', (draw) => faults.badContact('worn-pole', draw)),
  broken('loose terminal', (draw) => faults.badContact('loose-terminal', draw)),
  broken('supply unbalance', faults.unbalancedSupply),
  broken('sensor dead', (draw) => faults.sensorFault('dead', draw)),
  broken('sensor stuck', (draw) => faults.sensorFault('stuck', draw)),
  broken('sensor drifting', (draw) => faults.sensorFault('drifting', draw)),
  broken('sensor saturated', (draw) => faults.sensorFault('saturated', draw)),
  broken('sensor jump, leakage', (draw) => faults.sensorFault('jump', draw)),
  broken('sensor jump, humidity', (draw) => faults.sensorFault('humidity-jump', draw)),
  broken('sensor slipped', (draw) => faults.sensorFault('slipped', draw)),
  broken('humidity sticks', (draw) => ({
    kind: 'humidity-sticks',
    fromMs: draw.startMs,
    hours: draw.chance.between(RANGES.lookAlikes.stickHours),
  })),
  broken('clock wrong', faults.wrongClock),
  broken('node dead', (draw) => ({ kind: 'node-dead', fromMs: faults.moment(draw) })),
  broken('network outage', (draw) => faults.switchedOff('network-outage', draw)),
  healthy('healthy', null),
  ...(
    [
      'transformer-drift',
      'residual-load-error',
      'damp-heater',
      'surge-arrester',
      'emi-filter',
      'safety-stop',
      'coil-washing',
      'service-outlet',
      'frozen-snow',
      'building-air',
      'neighbour-ground',
      'utility-outage',
      'gateway-loss',
    ] as const
  ).map((kind) => healthy(`healthy, ${kind}`, kind)),
];

/**
 * The case of a cohort with this index: the same block and weeks give the same plan.
 *
 * @throws RangeError for a cohort that is not in `PLAIN_COHORTS`, or an index that it has not.
 */
export function plainCase(
  cohort: PlainCohort,
  index: number,
  { weeks, block }: { readonly weeks: number; readonly block: number },
): PlainPlan {
  const place = PLAIN_COHORTS.indexOf(cohort);
  if (place < 0) throw new RangeError(`there is no cohort '${cohort.name}'`);
  const seed = plainSeed(block, place, index);
  const chance = new Chance(seed, `plan/${cohort.name}`);
  const startMs = START_MS;
  const endMs = startMs + weeks * WEEK_MS;
  const draw = { chance, startMs, endMs };
  const count = chance.whole(cohort.units);
  const ofSite = cohort.looksLike === null ? null : lookAlike(cohort.looksLike, draw);
  const units = Array.from({ length: count }, (_, unit) => unitPlan(cohort, draw, unit, ofSite));
  const grounding = chance.pick(cohort.groundings);
  const volts = chance.pick(VOLTS[grounding]);
  const documents = units.map((_, unit) => unitDocument(unit, grounding, volts, chance));
  const site = { id: SITE, latitude: 44, longitude: -75, timezone: 'Etc/GMT+5', units: documents };
  const file = parseFleetFile(JSON.stringify({ sites: [site] }), cohort.name);
  return {
    cohort: cohort.name,
    seed,
    startMs,
    endMs,
    seasonDay: chance.between(cohort.season ?? [0, 365]),
    climate: chance.pick(cohort.season === null ? PLAIN_CLIMATE_NAMES : ['cold-lake', 'dry-mesa']),
    station: chance.happens(0.6),
    fleet: toFleet(applyFleet(null, file)),
    units,
  };
}

function unitPlan(
  cohort: PlainCohort,
  draw: faults.PlainDraw,
  unit: number,
  ofSite: PlainLookAlike | null,
): PlainUnitPlan {
  const { chance } = draw;
  return {
    faults: unit === 0 && cohort.fault !== null ? [cohort.fault(draw)] : [],
    lookAlikes: ofSite === null ? [] : [ofSite],
    swapHours: chance.between(RANGES.track.swapHours),
    repairedAfter: chance.happens(0.4) ? chance.whole([1, 3]) : null,
    recordsVisits: chance.happens(0.8),
  };
}

function unitDocument(unit: number, grounding: Grounding, volts: number, chance: Chance): object {
  return {
    id: `rtu-0${unit + 1}`,
    supply: { volts, hertz: 60, grounding },
    contactors: [
      { name: 'C1', load: 'compressor 1', poles: 3 },
      { name: 'C2', load: 'fans', poles: 3 },
    ],
    drive: false,
    node: { supply: chance.happens(0.5) ? 'battery' : 'unit-24v' },
  };
}
