import type { Unit } from '@lineside/fleet';
import { clamp, lagShare } from './drift.ts';
import type { Fault } from './fault-kinds.ts';
import { type GroundPath, groundPath } from './ground-path.ts';
import type { LoadBank } from './loads.ts';
import { during, type LookAlike } from './look-alike-kinds.ts';
import type { Weather } from './weather.ts';

const MS_PER_WEEK = 7 * 86_400_000;
/** Insulation worsens by this share a kelvin of outdoor temperature: weak (assumption). */
const INSULATION_PER_KELVIN = 0.008;
/** A motor out in the rain is soaked and dries with these lags (assumptions). */
const SOAKING_SECONDS = 30 * 60;
const MOTOR_DRYING_SECONDS = 8 * 3600;
/** Rain of this much a minute soaks fully. */
const SOAKING_MM_PER_MINUTE = 0.01;
/** A heater element takes up moisture again while it stands cold. */
const DAMPENING_SECONDS = 3 * 86_400;

type PathFault = Fault & { readonly kind: 'load-insulation' | 'vermin' };
type PathLookAlike = LookAlike & { readonly kind: 'damp-heater' | 'surge-arrester' };

interface FaultPath {
  readonly fault: PathFault;
  readonly path: GroundPath;
  repaired: boolean;
}

/** Paths to ground that do not grow by themselves: bad insulation, vermin, and what looks alike. */
export class GroundFaults {
  /** All of them, with what they conduct now. */
  readonly paths: readonly GroundPath[];
  /** How wet a motor out on the roof is, 0 to 1. */
  soaked = 0;
  private readonly faults: readonly FaultPath[];
  private readonly lookAlikes: readonly {
    readonly lookAlike: PathLookAlike;
    readonly path: GroundPath;
    damp: number;
  }[];
  /** Microsiemens per mA at phase-to-neutral voltage. */
  private readonly perMilliamp: number;

  constructor(unit: Unit, faults: readonly Fault[], lookAlikes: readonly LookAlike[]) {
    this.perMilliamp = (1000 * Math.sqrt(3)) / unit.supply.volts;
    this.faults = faults.flatMap((fault, index) =>
      fault.kind === 'load-insulation' || fault.kind === 'vermin'
        ? [{ fault, path: groundPath(fault.phase, index), repaired: false }]
        : [],
    );
    this.lookAlikes = lookAlikes.flatMap((lookAlike) =>
      lookAlike.kind === 'damp-heater' || lookAlike.kind === 'surge-arrester'
        ? [{ lookAlike, path: groundPath(lookAlike.phase, null), damp: 1 }]
        : [],
    );
    this.paths = [...this.faults, ...this.lookAlikes].map(({ path }) => path);
  }

  step(loads: LoadBank, weather: Weather, atMs: number, stepSeconds: number): void {
    if (this.paths.length === 0) return;
    const soaking = clamp(weather.rainMm / SOAKING_MM_PER_MINUTE, 0, 1);
    const lag = soaking > this.soaked ? SOAKING_SECONDS : MOTOR_DRYING_SECONDS;
    this.soaked += (soaking - this.soaked) * lagShare(stepSeconds, lag);
    for (const entry of this.faults) {
      const milliamps = entry.repaired ? 0 : this.faultMilliamps(entry.fault, loads, weather, atMs);
      entry.path.microsiemens = milliamps * this.perMilliamp;
    }
    for (const entry of this.lookAlikes) {
      const { lookAlike, path } = entry;
      let milliamps = 0;
      if (lookAlike.kind === 'surge-arrester') {
        for (const strokeMs of lookAlike.strokesMs) {
          if (atMs >= strokeMs) milliamps += lookAlike.milliampsPerStroke;
        }
      } else {
        const hot = loads.loads[lookAlike.contactor]?.running === true;
        entry.damp = hot
          ? entry.damp * Math.exp(-stepSeconds / (60 * lookAlike.dryingMinutes))
          : entry.damp + (1 - entry.damp) * lagShare(stepSeconds, DAMPENING_SECONDS);
        milliamps = hot ? lookAlike.milliamps * entry.damp : 0;
      }
      path.microsiemens = during(lookAlike, atMs) ? milliamps * this.perMilliamp : 0;
    }
  }

  repair(kind: PathFault['kind']): void {
    for (const entry of this.faults) if (entry.fault.kind === kind) entry.repaired = true;
  }

  private faultMilliamps(
    fault: PathFault,
    loads: LoadBank,
    weather: Weather,
    atMs: number,
  ): number {
    if (atMs < fault.fromMs) return 0;
    if (fault.kind === 'vermin') return fault.milliamps;
    if (loads.loads[fault.contactor]?.running !== true) return 0;
    const weeks = (atMs - fault.fromMs) / MS_PER_WEEK;
    const warmth = 1 + INSULATION_PER_KELVIN * (weather.celsius - 10);
    const rain = 1 + ((fault.rainFactor ?? 1) - 1) * this.soaked;
    return (fault.milliamps + fault.milliampsPerWeek * weeks) * warmth * rain;
  }
}
