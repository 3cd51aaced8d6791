import { type LookAlike, PHASES, type SiteEvent } from '@lineside/rooftop';
import { CASE_SITE, type CaseDraw, type CaseIdea, momentMs } from './case-plan.ts';
import { drawn, oneOf } from './ranges.ts';

const MINUTE_MS = 60_000;

type Span = Pick<LookAlike, 'fromMs' | 'toMs'>;

function span(draw: CaseDraw): Span {
  const from = drawn(draw.random, draw.ranges.lookAlikes.fromShare);
  const lasts = drawn(draw.random, draw.ranges.lookAlikes.lastsShare);
  return { fromMs: momentMs(draw, from), toMs: momentMs(draw, Math.min(1, from + lasts)) };
}

/** A span of so many hours. */
function shortSpan(draw: CaseDraw, hours: number): Span {
  const fromMs = momentMs(draw, drawn(draw.random, draw.ranges.lookAlikes.fromShare));
  return { fromMs, toMs: fromMs + Math.round(hours * 60) * MINUTE_MS };
}

/**
 * Three of four times it has been there since the node was fitted: a filter comes with the unit,
 * and a transformer's error with the way it sits. The fourth comes in the middle, as after a refit.
 */
function sinceFitted(draw: CaseDraw): { readonly fromStart: boolean } & Span {
  const fromStart = draw.random.uniform() < FITTED_AT_START;
  const later = span(draw);
  return fromStart
    ? { fromStart, fromMs: draw.startMs, toMs: draw.endMs }
    : { fromStart, ...later };
}

const FITTED_AT_START = 0.75;

function only(lookAlike: LookAlike): CaseIdea {
  return { script: { lookAlikes: [lookAlike] } };
}

export const LOOK_ALIKE_NAMES = [
  'emi-filter',
  'transformer-drift',
  'residual-load-error',
  'damp-heater',
  'surge-arrester',
  'safety-stop',
  'service-outlet',
  'coil-washing',
  'ground-elsewhere',
  'utility-outage',
] as const;
export type LookAlikeName = (typeof LOOK_ALIKE_NAMES)[number];

/** Each way in which a healthy unit looks ill, alone. */
export const LOOK_ALIKE_IDEAS: Readonly<Record<LookAlikeName, (draw: CaseDraw) => CaseIdea>> = {
  'emi-filter': (draw) => {
    const { fromStart, ...spell } = sinceFitted(draw);
    const milliamps = drawn(draw.random, draw.ranges.lookAlikes.filterMilliamps);
    // Who enters the unit says that it has one; what comes later nobody enters.
    return { ...only({ kind: 'emi-filter', ...spell, milliamps }), drive: fromStart };
  },
  'transformer-drift': (draw) =>
    only({
      kind: 'transformer-drift',
      ...span(draw),
      leakMilliampsPerKelvin: drawn(draw.random, draw.ranges.lookAlikes.driftMilliampsPerKelvin),
      currentPercentPerKelvin: 0.05,
    }),
  'residual-load-error': (draw) => {
    const { fromMs, toMs } = sinceFitted(draw);
    const percentOfLoad = drawn(draw.random, draw.ranges.lookAlikes.errorPercentOfLoad);
    return only({ kind: 'residual-load-error', fromMs, toMs, percentOfLoad });
  },
  'damp-heater': (draw) =>
    only({
      kind: 'damp-heater',
      ...span(draw),
      contactor: 1,
      phase: oneOf(draw.random, PHASES),
      milliamps: drawn(draw.random, draw.ranges.lookAlikes.heaterMilliamps),
      dryingMinutes: 20,
    }),
  'surge-arrester': (draw) => {
    const spell = span(draw);
    return only({
      kind: 'surge-arrester',
      ...spell,
      phase: oneOf(draw.random, PHASES),
      strokesMs: [spell.fromMs, (spell.fromMs + spell.toMs) / 2],
      milliampsPerStroke: drawn(draw.random, draw.ranges.lookAlikes.arresterMilliamps),
    });
  },
  'safety-stop': (draw) =>
    only({
      kind: 'safety-stop',
      ...shortSpan(draw, drawn(draw.random, [6, 72])),
      reason: oneOf(draw.random, ['smoke', 'building-control'] as const),
    }),
  'service-outlet': (draw) =>
    only({
      kind: 'service-outlet',
      ...span(draw),
      phases: [oneOf(draw.random, PHASES)],
      amps: drawn(draw.random, draw.ranges.lookAlikes.outletAmps),
    }),
  'coil-washing': (draw) => only({ kind: 'coil-washing', ...shortSpan(draw, 2) }),
  'ground-elsewhere': (draw) => ({
    script: {},
    grounding: oneOf(draw.random, ['ungrounded', 'high-resistance'] as const),
    units: 2,
    groundsElsewhere: [
      {
        ...span(draw),
        phase: oneOf(draw.random, PHASES),
        microsiemens: drawn(draw.random, draw.ranges.lookAlikes.groundMicrosiemens),
      },
    ],
  }),
  'utility-outage': (draw) => {
    const hours = drawn(draw.random, draw.ranges.lookAlikes.outageHours);
    const event: SiteEvent = { kind: 'utility-outage', site: CASE_SITE, ...shortSpan(draw, hours) };
    return { script: {}, units: 2, siteEvents: [event] };
  },
};
