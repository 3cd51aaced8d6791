import type { LookAlike } from '@lineside/rooftop';
import { type CaseDraw, type CaseIdea, momentMs } from './case-plan.ts';
import { drawn } from './ranges.ts';

export const FIT_NAMES = [
  'every second minute',
  'no plate sensor',
  'no station',
  'voltages to ground',
  'drive',
] as const;
export type FitName = (typeof FIT_NAMES)[number];

/** Ways in which a node or a unit is fitted that change what can be seen. */
const FITS: Readonly<Record<FitName, Partial<CaseIdea>>> = {
  'every second minute': { everyMs: 120_000 },
  'no plate sensor': { script: { node: { plateSensor: false } } },
  'no station': { station: false },
  'voltages to ground': {
    script: { node: { voltages: true, voltagesToGround: true, resistiveLeakage: true } },
  },
  drive: { drive: true },
};

/** An idea on a node or unit of that fit. */
export function fitted(idea: CaseIdea, name: FitName): CaseIdea {
  const fit = FITS[name];
  return { ...idea, ...fit, script: { ...idea.script, ...fit.script } };
}

/** The run ends late in winter: it goes through the cold. */
const WINTER_ENDS_DAY = 80;

/** Warm damp air of the building comes up an unsealed conduit, and condenses in the cold. */
export function buildingAir({ random, ranges }: CaseDraw): CaseIdea {
  return {
    climate: random.uniform() < 0.5 ? 'deep-winter' : 'windy-harbour',
    seasonDay: WINTER_ENDS_DAY,
    script: {
      surroundings: {
        openings: [],
        washings: [],
        buildingAir: {
          celsius: 21,
          humidityPercent: drawn(random, ranges.surroundings.buildingHumidityPercent),
          cubicMetresPerHour: drawn(random, ranges.surroundings.buildingCubicMetresPerHour),
        },
        snowInside: null,
        drainsBlocked: false,
      },
    },
  };
}

/** Snow lies inside, frozen, and melts one day. */
export function frozenSnow(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  return {
    climate: random.uniform() < 0.5 ? 'deep-winter' : 'snow-ridge',
    seasonDay: WINTER_ENDS_DAY,
    script: {
      surroundings: {
        openings: [],
        washings: [],
        buildingAir: null,
        snowInside: {
          atMs: momentMs(draw, drawn(random, ranges.lookAlikes.fromShare)),
          grams: drawn(random, ranges.surroundings.snowGrams),
        },
        drainsBlocked: false,
      },
    },
  };
}

/** After dew the humidity sensor sticks near 100 %RH for hours, and creeps. */
export function humiditySticks(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  const fromMs = momentMs(draw, drawn(random, ranges.lookAlikes.fromShare));
  const stickHours = drawn(random, ranges.surroundings.stickHours);
  const creepPercent = drawn(random, ranges.surroundings.creepPercent);
  return { script: { faults: [{ kind: 'humidity-sticks', fromMs, stickHours, creepPercent }] } };
}

/** All nodes of a roof are silent together, keep their readings and send them later. */
export function gatewayLoss(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  const fromMs = momentMs(draw, drawn(random, ranges.lookAlikes.fromShare));
  const toMs = fromMs + Math.round(60 * drawn(random, ranges.lookAlikes.outageHours)) * 60_000;
  const loss = { kind: 'gateway-loss', fromMs, toMs, backlog: 'oldest-first' } as const;
  const site: LookAlike & { readonly site: string } = { ...loss, site: 'roof' };
  return { script: {}, units: 2, siteEvents: [site] };
}
