import { LEGS, type PlainLookAlike } from '../plan.ts';
import { RANGES } from '../ranges.ts';
import { moment, type PlainDraw } from './fault-draws.ts';

const HOUR_MS = 3_600_000;

/** One of all that looks like a fault and is none. */
export function lookAlike(kind: PlainLookAlike['kind'], draw: PlainDraw): PlainLookAlike {
  const { chance, endMs } = draw;
  const { lookAlikes } = RANGES;
  const fromMs = moment(draw);
  const lasting = { fromMs, toMs: endMs };
  const hours = (range: readonly [number, number]): { fromMs: number; toMs: number } => ({
    fromMs,
    toMs: fromMs + Math.round(chance.between(range) * HOUR_MS),
  });
  switch (kind) {
    case 'transformer-drift':
      return { kind, ...lasting, perKelvinShare: chance.between(lookAlikes.driftPerKelvin) };
    case 'residual-load-error':
      return { kind, ...lasting, share: 0.001 };
    case 'damp-heater':
      return { kind, ...lasting, milliamps: chance.decades(lookAlikes.heaterMilliamps) };
    case 'surge-arrester':
      return { kind, ...lasting, milliamps: chance.decades(lookAlikes.arresterMilliamps) };
    case 'emi-filter':
      return { kind, ...lasting, milliamps: chance.decades(lookAlikes.filterMilliamps) };
    case 'service-outlet': {
      const amps = chance.decades(lookAlikes.outletAmps);
      return { kind, ...lasting, leg: chance.pick(LEGS), amps };
    }
    case 'frozen-snow':
      return { kind, ...lasting, grams: chance.decades(RANGES.ingress.snowGrams) };
    case 'building-air':
      return {
        kind,
        fromMs: draw.startMs,
        toMs: endMs,
        pascals: chance.between(lookAlikes.buildingPascals),
      };
    case 'neighbour-ground':
      return { kind, ...hours([2, 90]), times: chance.between(lookAlikes.neighbourTimes) };
    case 'safety-stop':
      return { kind, ...hours(lookAlikes.stopHours) };
    case 'coil-washing':
      return { kind, ...hours([0.7, 2]) };
    case 'utility-outage':
    case 'gateway-loss':
      return { kind, ...hours(lookAlikes.outageHours) };
  }
}
