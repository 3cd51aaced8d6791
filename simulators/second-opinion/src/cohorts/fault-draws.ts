import type { Chance } from '../chance.ts';
import { LEGS, type Leg, type PlainFault, type PlainTrack } from '../plan.ts';
import { RANGES } from '../ranges.ts';

const HOUR_MS = 3_600_000;
const MINUTE_MS = 60_000;
const WEEK_MS = 7 * 24 * HOUR_MS;

/** What the draws of a case share. */
export interface PlainDraw {
  readonly chance: Chance;
  readonly startMs: number;
  readonly endMs: number;
}

/** A moment in the middle of the run. */
export function moment({ chance, startMs, endMs }: PlainDraw): number {
  return Math.round(startMs + chance.between(RANGES.atShare) * (endMs - startMs));
}

export function trackToGround(draw: PlainDraw): PlainFault {
  const { chance } = draw;
  const leg = chance.pick(LEGS);
  const others = LEGS.filter((other) => other !== leg);
  const opens = chance.pick([[leg], [leg], [leg, chance.pick(others)], LEGS]);
  const { wetMilliamps, flashMilliamps } = RANGES.track;
  const track = trackOf(chance, wetMilliamps, flashMilliamps, opens);
  return { kind: 'track-to-ground', fromMs: earlyOrLater(draw), leg, track };
}

export function poleToPole(draw: PlainDraw): PlainFault {
  const { chance } = draw;
  const legs = chance.pick([
    [0, 1],
    [1, 2],
    [0, 2],
  ] as const);
  const { poleMilliamps, poleFlashMilliamps } = RANGES.track;
  const opens = chance.happens(0.8) ? legs : LEGS;
  const track = trackOf(chance, poleMilliamps, poleFlashMilliamps, opens);
  return { kind: 'track-between-poles', fromMs: earlyOrLater(draw), legs, track };
}

/** Half of the tracks are there before anybody watches. */
function earlyOrLater({ chance, startMs, endMs }: PlainDraw): number {
  return chance.happens(0.4) ? startMs : Math.round(startMs + 0.25 * (endMs - startMs));
}

function trackOf(
  chance: Chance,
  wet: readonly [number, number],
  flash: readonly [number, number],
  opens: readonly Leg[],
): PlainTrack {
  const { track } = RANGES;
  return {
    wetMilliamps: chance.decades(wet),
    shape: chance.pick(['logistic', 'exponential']),
    halfPercent: chance.between(track.halfPercent),
    slopePercent: chance.between(track.slopePercent),
    lagMs: MINUTE_MS * chance.decades(track.lagMinutes),
    runawayHours: chance.decades(track.runawayHours),
    floorShare: chance.between(track.floorShare),
    flashMilliamps: chance.decades(flash),
    opens,
  };
}

export function waterIngress({ chance, startMs, endMs }: PlainDraw): PlainFault {
  return {
    kind: 'water-ingress',
    fromMs: Math.round(startMs + 0.2 * (endMs - startMs)),
    gramsPerMillimetre: chance.decades(RANGES.ingress.gramsPerMillimetre),
  };
}

export function loadInsulation(draw: PlainDraw): PlainFault {
  const { chance } = draw;
  return {
    kind: 'load-insulation',
    fromMs: moment(draw),
    load: chance.pick([0, 1]),
    leg: chance.pick([0, 1]),
    milliamps: chance.decades(RANGES.load.milliamps),
    doublesAfterMs: WEEK_MS * chance.between(RANGES.load.doubleWeeks),
    rainFactor: chance.happens(0.3) ? 4 : 1,
  };
}

export function vermin(draw: PlainDraw): PlainFault {
  const milliamps = draw.chance.decades(RANGES.sudden.verminMilliamps);
  return { kind: 'vermin', fromMs: moment(draw), leg: draw.chance.pick(LEGS), milliamps };
}

export function badContact(kind: 'worn-pole' | 'loose-terminal', draw: PlainDraw): PlainFault {
  const { chance, startMs, endMs } = draw;
  const { connection } = RANGES;
  const grownMs = chance.between(connection.grownShare) * (endMs - startMs);
  const growth = { finalShare: chance.decades(connection.finalShare), grownMs };
  const fromMs = Math.round(startMs + 0.3 * (endMs - startMs));
  const leg = chance.pick(LEGS);
  if (kind === 'loose-terminal') return { kind, fromMs, leg, ...growth };
  return { kind, fromMs, load: 1, leg, ...growth };
}

export function unbalancedSupply(draw: PlainDraw): PlainFault {
  const { chance } = draw;
  const lowShare = chance.between(RANGES.supply.lowShare);
  return { kind: 'supply-unbalance', fromMs: moment(draw), leg: chance.pick(LEGS), lowShare };
}

export function phaseLoss(kind: 'open-fuse' | 'hot-fuse-clip', draw: PlainDraw): PlainFault {
  return { kind, fromMs: moment(draw), leg: draw.chance.pick(LEGS) };
}

export function utilityPhaseLost(draw: PlainDraw): PlainFault {
  const fromMs = moment(draw);
  const hours = draw.chance.between(RANGES.lookAlikes.outageHours);
  const toMs = fromMs + Math.round(hours * HOUR_MS);
  return { kind: 'utility-phase-lost', fromMs, toMs, leg: draw.chance.pick(LEGS) };
}

export function fusesGone(draw: PlainDraw): PlainFault {
  const legs = draw.chance.pick([
    [0, 1],
    [1, 2],
    [0, 1, 2],
    [0, 1, 2],
  ] as const);
  return { kind: 'fuses-gone', fromMs: moment(draw), legs };
}

export function compressorGrounded(draw: PlainDraw): PlainFault {
  const opens = draw.chance.pick([[0], [0, 1], [0, 1, 2]] as const);
  return { kind: 'compressor-grounded', fromMs: moment(draw), opens };
}

export function switchedOff(
  kind: 'disconnect-open' | 'network-outage',
  draw: PlainDraw,
): PlainFault {
  const fromMs = moment(draw);
  return { kind, fromMs, toMs: fromMs + Math.round(draw.chance.between([6, 60]) * HOUR_MS) };
}

export function wrongClock(draw: PlainDraw): PlainFault {
  const fromMs = moment(draw);
  const byMs = Math.round(draw.chance.pick([-1, 1]) * draw.chance.between([4, 90]) * MINUTE_MS);
  return { kind: 'clock-error', fromMs, toMs: fromMs + 3 * 24 * HOUR_MS, byMs };
}

/** One of the faults of a sensor, by name. */
export function sensorFault(
  kind: 'dead' | 'stuck' | 'drifting' | 'saturated' | 'jump' | 'slipped' | 'humidity-jump',
  draw: PlainDraw,
): PlainFault {
  const { chance } = draw;
  const { sensors } = RANGES;
  const fromMs = moment(draw);
  const leg = chance.pick(LEGS);
  if (kind === 'dead') return { kind: 'current-sensor-dead', fromMs, leg };
  if (kind === 'slipped') {
    const share = chance.between(sensors.slippedShare);
    return { kind: 'transformer-slipped', fromMs, leg, share };
  }
  if (kind === 'jump') {
    return {
      kind: 'sensor-jump',
      fromMs,
      channel: 'leak',
      by: chance.between(sensors.jumpMilliamps),
    };
  }
  if (kind === 'humidity-jump') {
    const by = chance.pick([-1, 1]) * chance.between(sensors.jumpPercent);
    return { kind: 'sensor-jump', fromMs, channel: 'rh', by };
  }
  const milliamps = kind === 'saturated' ? 100 : chance.between([6, 20]);
  return { kind: 'leak-sensor-fault', fromMs, mode: kind, milliamps };
}
