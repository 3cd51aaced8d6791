import type { Unit } from '@lineside/fleet';
import type { GroundAdmittance } from './grounding.ts';
import type { LoadBank } from './loads.ts';
import { during, type LookAlike } from './look-alike-kinds.ts';
import { PHASE_ANGLES, type PhaseCurrents } from './phasor.ts';
import { randomStream } from './random.ts';
import { PHASES, type Phase } from './scenario.ts';
import type { UnitSupply } from './supply.ts';

/** What each phase has to ground is so many times the unevenness between the phases. */
const MEAN_OVER_UNEVENNESS = 1.8;

/** A phase that is live alone reaches its terminals, not windings and filters (assumption). */
const TERMINALS_SHARE = 0.1;

export interface Residual {
  readonly milliamps: number;
  /** Its part in phase with the voltages that drive it. */
  readonly resistiveMilliamps: number;
}

/**
 * What a unit has to ground without any fault: capacitance of wiring and windings, uneven between
 * the phases, the film on clean surfaces, and the filter of a drive.
 */
export class HealthyLeakage {
  /** Angle of the residual sensor's error to phase a, radians: as the conductors happen to lie. */
  readonly errorAngle: number;
  private readonly drive: boolean;
  private readonly susceptance: Record<Phase, number> = { a: 0, b: 0, c: 0 };
  private readonly perRunningLoad: number;
  private readonly filmMicrosiemens: number;
  private readonly filmPhase: Phase;
  private readonly filterMilliamps: number;
  private readonly speedMilliamps: number;
  private readonly filterX: number;
  private readonly filterY: number;
  private readonly filters: readonly (LookAlike & { readonly kind: 'emi-filter' })[];

  constructor(unit: Unit, lookAlikes: readonly LookAlike[], seed: number) {
    const random = randomStream(seed, `${unit.site}/${unit.id}/leakage`);
    const neutralVolts = unit.supply.volts / Math.sqrt(3);
    const milliamps = random.between(0.3, 1.5);
    const angle = random.between(0, 2 * Math.PI);
    this.perRunningLoad = random.between(0.05, 0.35) / milliamps;
    this.filmMicrosiemens = random.between(0.2, 0.9);
    this.filmPhase = random.uniform() < 0.5 ? 'a' : 'c';
    this.drive = unit.drive;
    this.filterMilliamps = unit.drive ? random.between(5, 11) : 0;
    this.speedMilliamps = unit.drive ? random.between(4, 9) : 0;
    this.errorAngle = random.between(0, 2 * Math.PI);
    this.filterX = Math.cos(angle + 0.4) / 1000;
    this.filterY = Math.sin(angle + 0.4) / 1000;
    // On a solid wye this unevenness makes the residual: `milliamps` at `angle`.
    const uneven = (2 / 3) * ((1000 * milliamps) / neutralVolts);
    for (const phase of PHASES) {
      const share = Math.cos(angle - Math.PI / 2 - PHASE_ANGLES[phase]);
      this.susceptance[phase] = uneven * (MEAN_OVER_UNEVENNESS + share);
    }
    this.filters = lookAlikes.filter((lookAlike) => lookAlike.kind === 'emi-filter');
  }

  /** @param wetness of a clean surface in the compartment, see `balancedWetness`. */
  addTo(
    own: GroundAdmittance,
    phase: Phase,
    loads: LoadBank,
    wetness: number,
    livePhases: number,
  ): void {
    const reached =
      livePhases > 1 ? 1 + this.perRunningLoad * loads.loadsRunning() : TERMINALS_SHARE;
    own[phase].b += this.susceptance[phase] * reached;
    if (phase === this.filmPhase) own[phase].g += this.filmMicrosiemens * wetness;
  }

  /** Filters and drives push their current to ground by way of phase a. */
  drawFilters(
    currents: PhaseCurrents,
    supply: UnitSupply,
    loads: LoadBank,
    live: boolean,
    atMs: number,
  ): void {
    if (!live) return;
    let milliamps = 0;
    if (this.drive) {
      milliamps += this.filterMilliamps;
      if (loads.fanRuns()) milliamps += this.speedMilliamps * loads.driveSpeed;
    }
    for (const filter of this.filters) if (during(filter, atMs)) milliamps += filter.milliamps;
    if (milliamps === 0) return;
    const amps = milliamps * supply.shares.a;
    currents.add('a', amps * this.filterX, amps * this.filterY);
  }
}
