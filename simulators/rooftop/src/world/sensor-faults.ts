import { clamp } from './drift.ts';
import { type Fault, type FaultKind, stands } from './fault-kinds.ts';
import { during, type LookAlike } from './look-alike-kinds.ts';
import type { Measurable } from './node.ts';

type SensorKind =
  | 'current-sensor-dead'
  | 'leak-sensor-fault'
  | 'sensor-jump'
  | 'transformer-slipped'
  | 'transformers-swapped'
  | 'transformer-reversed'
  | 'humidity-sticks';
type SensorFault = Fault & { readonly kind: SensorKind };

const SENSOR_KINDS: ReadonlySet<FaultKind> = new Set<SensorKind>([
  'current-sensor-dead',
  'leak-sensor-fault',
  'sensor-jump',
  'transformer-slipped',
  'transformers-swapped',
  'transformer-reversed',
  'humidity-sticks',
]);

/** A humidity sensor that condensed reads this, and counts as condensed from here on. */
const STUCK_PERCENT = 99.5;
const CONDENSED_PERCENT = 97;
/** So many condensations bring the creep to its full size (assumption). */
const CREEP_EVENTS = 4;
/** What a sensor that has lost its burden says, mA: beyond every plausible value. */
const OUT_OF_RANGE_MILLIAMPS = 20_000;
/** Transformers read true at this temperature. */
const CALIBRATED_CELSIUS = 20;

interface Entry {
  readonly fault: SensorFault;
  readonly index: number;
  repaired: boolean;
  /** How far the fault bends a channel now, in the channel's unit (mA for leakage). */
  effect: number;
  stuckMilliamps: number;
  stuckUntilMs: number;
  condensations: number;
}

/** What the faults of sensors, and transformers that follow the temperature, make of the truth. */
export class SensorFaults {
  readonly entries: readonly Entry[];
  private readonly drifts: readonly (LookAlike & { readonly kind: 'transformer-drift' })[];

  constructor(faults: readonly Fault[], lookAlikes: readonly LookAlike[]) {
    this.entries = faults.flatMap((fault, index) =>
      isSensorFault(fault)
        ? [
            {
              fault,
              index,
              repaired: false,
              effect: 0,
              stuckMilliamps: Number.NaN,
              stuckUntilMs: Number.NEGATIVE_INFINITY,
              condensations: 0,
            },
          ]
        : [],
    );
    this.drifts = lookAlikes.filter((lookAlike) => lookAlike.kind === 'transformer-drift');
  }

  /** Bends `truth` in place into what the sensors see. */
  apply(truth: Measurable, atMs: number): void {
    for (const drift of this.drifts) {
      if (!during(drift, atMs)) continue;
      const kelvin = truth.airCelsius - CALIBRATED_CELSIUS;
      truth.leakMilliamps = Math.abs(truth.leakMilliamps + drift.leakMilliampsPerKelvin * kelvin);
      const gain = 1 + (drift.currentPercentPerKelvin / 100) * kelvin;
      truth.amps.a *= gain;
      truth.amps.b *= gain;
      truth.amps.c *= gain;
    }
    for (const entry of this.entries) {
      entry.effect = 0;
      if (!entry.repaired && atMs >= entry.fault.fromMs) this.bend(entry, truth, atMs);
    }
  }

  repair(): void {
    for (const entry of this.entries) entry.repaired = true;
  }

  private bend(entry: Entry, truth: Measurable, atMs: number): void {
    const { fault } = entry;
    const { amps } = truth;
    switch (fault.kind) {
      case 'current-sensor-dead':
        entry.effect = amps[fault.phase];
        amps[fault.phase] = 0;
        break;
      case 'leak-sensor-fault':
        bendLeak(entry, fault.reads, truth);
        break;
      case 'sensor-jump':
        entry.effect = Math.abs(fault.by);
        jump(fault.channel, fault.by, truth);
        break;
      case 'transformer-slipped':
        if (fault.on === 'leak') {
          entry.effect = truth.leakMilliamps * (1 - fault.ratio);
          truth.leakMilliamps *= fault.ratio;
          truth.resistiveMilliamps *= fault.ratio;
          truth.peakMilliamps *= fault.ratio;
        } else {
          entry.effect = amps[fault.on] * (1 - fault.ratio);
          amps[fault.on] *= fault.ratio;
        }
        break;
      case 'transformers-swapped': {
        const [one, other] = fault.phases;
        const kept = amps[one];
        entry.effect = Math.abs(kept - amps[other]);
        amps[one] = amps[other];
        amps[other] = kept;
        break;
      }
      case 'transformer-reversed':
        break;
      case 'humidity-sticks':
        stickHumidity(entry, fault.stickHours, fault.creepPercent, truth, atMs);
        break;
    }
  }
}

function isSensorFault(fault: Fault): fault is SensorFault {
  return SENSOR_KINDS.has(fault.kind);
}

function bendLeak(entry: Entry, reads: 'zero' | 'stuck' | 'out-of-range', truth: Measurable): void {
  const actual = truth.leakMilliamps;
  if (Number.isNaN(entry.stuckMilliamps)) entry.stuckMilliamps = actual;
  const goal = { zero: 0, stuck: entry.stuckMilliamps, 'out-of-range': OUT_OF_RANGE_MILLIAMPS };
  truth.leakMilliamps = goal[reads];
  truth.peakMilliamps = goal[reads];
  truth.frozenLeak = reads === 'stuck';
  entry.effect = Math.abs(goal[reads] - actual);
}

function jump(
  channel: (Fault & { kind: 'sensor-jump' })['channel'],
  by: number,
  truth: Measurable,
): void {
  switch (channel) {
    case 'rh':
      truth.humidityPercent += by;
      break;
    case 't':
      truth.airCelsius += by;
      break;
    case 'leak':
      truth.leakMilliamps = Math.max(0, truth.leakMilliamps + by);
      break;
    case 'ia':
      truth.amps.a = Math.max(0, truth.amps.a + by);
      break;
    case 'ib':
      truth.amps.b = Math.max(0, truth.amps.b + by);
      break;
    case 'ic':
      truth.amps.c = Math.max(0, truth.amps.c + by);
      break;
  }
}

function stickHumidity(
  entry: Entry,
  stickHours: number,
  creepPercent: number,
  truth: Measurable,
  atMs: number,
): void {
  const actual = truth.humidityPercent;
  if (actual >= CONDENSED_PERCENT) {
    if (atMs > entry.stuckUntilMs) entry.condensations += 1;
    entry.stuckUntilMs = atMs + stickHours * 3_600_000;
  }
  const crept = actual + creepPercent * Math.min(1, entry.condensations / CREEP_EVENTS);
  const stuck = atMs < entry.stuckUntilMs;
  truth.humidityPercent = clamp(stuck ? Math.max(crept, STUCK_PERCENT) : crept, 0, 100);
  entry.effect = Math.abs(truth.humidityPercent - actual);
}

/** Event time that a node's clock gives a moment. */
export function clockTime(faults: readonly Fault[], revivedAtMs: number, atMs: number): number {
  let shown = atMs;
  for (const fault of faults) {
    if (fault.kind !== 'clock-error' || !stands(fault, atMs) || fault.fromMs < revivedAtMs)
      continue;
    shown += fault.offsetMs + ((atMs - fault.fromMs) * fault.partsPerMillion) / 1e6;
  }
  return Math.round(shown);
}
