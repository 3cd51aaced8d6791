import type { Grounding } from '@lineside/fleet';
import {
  type ClimateName,
  type Fault,
  PHASES,
  type Phase,
  type RandomStream,
} from '@lineside/rooftop';
import { type CaseDraw, type CaseIdea, momentMs } from './case-plan.ts';
import { drawn, oneOf } from './ranges.ts';

const HOUR_MS = 3_600_000;

const PAIRS: readonly (readonly [Phase, Phase])[] = [
  ['a', 'b'],
  ['b', 'c'],
  ['a', 'c'],
];

/** A track to ground that fails late in the run, at the first current above its threshold. */
export function trackToGround(
  draw: CaseDraw,
  place: { readonly climate?: ClimateName; readonly grounding?: Grounding },
): CaseIdea {
  const { random, ranges } = draw;
  const { track } = ranges;
  const phase = oneOf(random, PHASES);
  const fault: Fault = {
    kind: 'track-to-ground',
    phase,
    fromMs: momentMs(draw, drawn(random, track.fromShare)),
    depositMicrosiemens: drawn(random, track.depositMicrosiemens),
    wettingPointPercent: drawn(random, track.wettingPointPercent),
    carbonAtStart: drawn(random, track.carbonAtStart),
    carbonPerKilojoule: drawn(random, track.carbonPerKilojoule),
    flashOvers: [
      {
        notBeforeMs: momentMs(draw, drawn(random, track.failShare)),
        aboveMilliamps: drawn(random, track.flashMilliamps),
        opens: opened(random, phase),
      },
    ],
  };
  const fusesSwappedAfterMs = swapAfterMs(draw);
  return { ...place, script: { faults: [fault], fusesSwappedAfterMs } };
}

/** Whole, since a record carries it as its time. */
function swapAfterMs({ random, ranges }: CaseDraw): number {
  return Math.round(drawn(random, ranges.track.swapHours) * HOUR_MS);
}

/** One fuse mostly, sometimes two or all: an arc that spread. */
function opened(random: RandomStream, phase: Phase): readonly Phase[] {
  const share = random.uniform();
  if (share < 0.5) return [phase];
  if (share > 0.75) return PHASES;
  return [
    phase,
    oneOf(
      random,
      PHASES.filter((other) => other !== phase),
    ),
  ];
}

export function poleToPole(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  const fault: Fault = {
    kind: 'track-between-poles',
    phases: oneOf(random, PAIRS),
    fromMs: momentMs(draw, drawn(random, ranges.poles.fromShare)),
    depositMicrosiemens: drawn(random, ranges.poles.depositMicrosiemens),
    wettingPointPercent: drawn(random, ranges.poles.wettingPointPercent),
    carbonAtStart: 0.05,
    carbonPerKilojoule: 0.00001,
    flashOvers: [],
  };
  return { script: { faults: [fault] } };
}

export function loadInsulation(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  const fault: Fault = {
    kind: 'load-insulation',
    contactor: random.uniform() < 0.7 ? 0 : 1,
    phase: oneOf(random, PHASES),
    fromMs: momentMs(draw, drawn(random, ranges.load.fromShare)),
    milliamps: drawn(random, ranges.load.milliamps),
    milliampsPerWeek: drawn(random, ranges.load.milliampsPerWeek),
  };
  return { script: { faults: [fault] } };
}

/** An opening that lets water in, without any deposit: nothing but wet. */
export function waterIngress({ random, ranges }: CaseDraw): CaseIdea {
  const opening = {
    facingDegrees: drawn(random, [0, 360]),
    catchSquareMetres: drawn(random, ranges.ingress.catchSquareMetres),
    drainBlocked: random.uniform() < 0.5,
  };
  const climates: readonly ClimateName[] = ['windy-harbour', 'humid-coast', 'rainy-valley'];
  return {
    climate: oneOf(random, climates),
    script: { faults: [{ kind: 'water-ingress', opening }] },
  };
}

export function phaseLoss(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  const phase = oneOf(random, PHASES);
  const atMs = momentMs(draw, drawn(random, ranges.sudden.atShare));
  const through = random.uniform() < 0.5 ? 'direct' : 'delta-wye';
  const fault: Fault =
    random.uniform() < 0.6
      ? { kind: 'open-fuse', phase, notBeforeMs: atMs }
      : { kind: 'utility-phase-lost', phase, through, fromMs: atMs, toMs: atMs + 8 * HOUR_MS };
  const fusesSwappedAfterMs = swapAfterMs(draw);
  return { script: { faults: [fault], fusesSwappedAfterMs } };
}

export function fusesGone(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  const atMs = momentMs(draw, drawn(random, ranges.sudden.atShare));
  const fault: Fault =
    random.uniform() < 0.6
      ? { kind: 'fuses-gone', phases: PHASES, atMs }
      : { kind: 'disconnect-open', fromMs: atMs, toMs: atMs + drawn(random, [4, 30]) * HOUR_MS };
  const fusesSwappedAfterMs = swapAfterMs(draw);
  return { script: { faults: [fault], fusesSwappedAfterMs } };
}

export function vermin(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  const fault: Fault = {
    kind: 'vermin',
    phase: oneOf(random, PHASES),
    fromMs: momentMs(draw, drawn(random, ranges.sudden.atShare)),
    milliamps: drawn(random, ranges.sudden.verminMilliamps),
  };
  return { script: { faults: [fault] } };
}

export function unbalance(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  const { connection, supply } = ranges;
  const phase = oneOf(random, PHASES);
  if (random.uniform() < 0.35) {
    const fromMs = momentMs(draw, drawn(random, supply.fromShare));
    const lowPercent = drawn(random, supply.lowPercent);
    return { script: { faults: [{ kind: 'supply-unbalance', phase, fromMs, lowPercent }] } };
  }
  const fromShare = drawn(random, connection.fromShare);
  const fault: Fault = {
    kind: random.uniform() < 0.6 ? 'loose-terminal' : 'worn-pole',
    contactor: 0,
    phase,
    fromMs: momentMs(draw, fromShare),
    untilMs: momentMs(draw, fromShare + drawn(random, connection.growthShare)),
    finalPercent: drawn(random, connection.finalPercent),
  };
  return { script: { faults: [fault] } };
}

export function sensorFault(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  const { sensors } = ranges;
  const fromMs = momentMs(draw, drawn(random, sensors.fromShare));
  const jump = { kind: 'sensor-jump', fromMs } as const;
  const choices: readonly Fault[] = [
    { kind: 'current-sensor-dead', phase: oneOf(random, PHASES), fromMs },
    { kind: 'leak-sensor-fault', fromMs, reads: 'stuck' },
    { kind: 'leak-sensor-fault', fromMs, reads: 'out-of-range' },
    { ...jump, channel: 'leak', by: drawn(random, sensors.jumpMilliamps) },
    { ...jump, channel: 'rh', by: drawn(random, sensors.jumpHumidityPercent) },
    {
      kind: 'transformer-slipped',
      on: oneOf(random, PHASES),
      ratio: drawn(random, sensors.slippedRatio),
      fromMs,
    },
    { kind: 'humidity-sticks', fromMs, stickHours: 9, creepPercent: 3 },
  ];
  return { script: { faults: [oneOf(random, choices)] } };
}

/** As any other track, under climates and on deposits that the other cohorts do not have. */
export function trackElsewhere(draw: CaseDraw): CaseIdea {
  const { random } = draw;
  const climate = oneOf(random, OTHER_CLIMATES);
  const deposit = oneOf(random, DEPOSITS);
  const idea = trackToGround(draw, { climate });
  const faults = (idea.script.faults ?? []).map((fault) =>
    fault.kind === 'track-to-ground' ? { ...fault, deposit } : fault,
  );
  return { ...idea, script: { ...idea.script, faults } };
}

const OTHER_CLIMATES: readonly ClimateName[] = [
  'salt-shore',
  'dry-basin',
  'snow-ridge',
  'deep-winter',
  'steam-delta',
];
const DEPOSITS = ['soot', 'metal-dust', 'chloride-salt', 'grease-film'] as const;

/** A fuse clip that heats opens its own fuse, time and again, in dry weather under load. */
export function hotFuseClip(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  const fromMs = momentMs(draw, drawn(random, ranges.sudden.atShare));
  const phase = oneOf(random, PHASES);
  const fusesSwappedAfterMs = swapAfterMs(draw);
  const fault: Fault = { kind: 'hot-fuse-clip', phase, fromMs, aboveLoadShare: 0.7 };
  return { script: { faults: [fault], fusesSwappedAfterMs } };
}

/** A compressor that is grounded for good: fuses open on its next start. */
export function compressorGrounded(draw: CaseDraw): CaseIdea {
  const { random, ranges } = draw;
  const fromMs = momentMs(draw, drawn(random, ranges.sudden.atShare));
  const opens = opened(random, oneOf(random, PHASES));
  const fusesSwappedAfterMs = swapAfterMs(draw);
  const fault: Fault = { kind: 'compressor-grounded', contactor: 0, fromMs, opens };
  return { script: { faults: [fault], fusesSwappedAfterMs } };
}

/** A terminal that ends near a limit of the trade. */
export function looseTerminal(draw: CaseDraw, end: 'abovePercent' | 'belowPercent'): CaseIdea {
  const { random, ranges } = draw;
  const { connection } = ranges;
  const fromShare = drawn(random, connection.fromShare);
  const fault: Fault = {
    kind: 'loose-terminal',
    contactor: 0,
    phase: oneOf(random, PHASES),
    fromMs: momentMs(draw, fromShare),
    untilMs: momentMs(draw, fromShare + drawn(random, connection.growthShare)),
    finalPercent: drawn(random, connection[end]),
  };
  return { script: { faults: [fault] } };
}
