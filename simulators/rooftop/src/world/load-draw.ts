import type { Connections } from './connections.ts';
import type { Feed } from './feed.ts';
import type { Load, LoadBank } from './loads.ts';
import { type PhaseCurrents, UNIT_PHASORS } from './phasor.ts';
import { PHASES, type Phase, type UnitBuild } from './scenario.ts';
import type { UnitSupply } from './supply.ts';
import type { Weather } from './weather.ts';

const CONTROL_TRANSFORMER_VA = 95;
const COIL_VA = 18;
const CRANKCASE_HEATER_WATTS = 85;
/** Motors run at a power factor near 0.87. */
const MOTOR_LAG_RADIANS: number = Math.PI / 6;
const MOTOR_COS: number = Math.cos(MOTOR_LAG_RADIANS);
const MOTOR_SIN: number = Math.sin(MOTOR_LAG_RADIANS);
/** A motor that lost a phase draws so much more in the other two. */
const SINGLE_PHASING_FACTOR = Math.sqrt(3);
/** Three elements in delta with two phases left. */
const TWO_PHASE_HEATER_FACTOR = Math.sqrt(3) / 2;
/** A motor's current deviates by so many times the voltage's (common practice: 6 to 10). */
const VOLTAGE_AMPLIFICATION = 6;
/** Motor currents when a phase is lost ahead of a delta-wye transformer (common practice). */
const WHOLE_PHASE_FACTOR = 2.3;

/** Adds what loads and controls draw to the phase currents. All of it returns by the conductors. */
export class LoadDraw {
  private readonly lineVolts: number;
  private readonly supply: UnitSupply;
  private readonly feed: Feed;
  private readonly build: UnitBuild;
  private readonly factors: Record<Phase, number> = { a: 1, b: 1, c: 1 };
  private readonly deviations: Record<Phase, number> = { a: 0, b: 0, c: 0 };

  constructor(lineVolts: number, supply: UnitSupply, feed: Feed, build: UnitBuild) {
    this.lineVolts = lineVolts;
    this.supply = supply;
    this.feed = feed;
    this.build = build;
  }

  draw(
    bank: LoadBank,
    connections: Connections,
    weather: Weather,
    strength: number,
    currents: PhaseCurrents,
  ): void {
    for (const load of bank.loads) {
      if (!load.running) continue;
      const amps = bank.ampsOf(load, weather, strength);
      if (load.singlePhase) this.singlePhase(load, amps, connections, currents);
      else this.threePhase(load, amps, bank.evenness, connections, currents);
    }
    this.controls(bank, currents);
  }

  private singlePhase(
    load: Load,
    amps: number,
    connections: Connections,
    currents: PhaseCurrents,
  ): void {
    const { feed, factors, supply } = this;
    if (!feed.live('b') || !feed.live('c')) return;
    // In series: what either terminal takes, both phases lose.
    const worn = connections.factorsOf(load.contactor, factors)
      ? Math.min(factors.b, factors.c, 1)
      : 1;
    const lag = load.kind === 'heater' ? 0 : MOTOR_LAG_RADIANS;
    currents.addBetween('b', 'c', amps * worn, lag, supply.volts);
  }

  private threePhase(
    load: Load,
    amps: number,
    evenness: number,
    connections: Connections,
    currents: PhaseCurrents,
  ): void {
    const { feed, supply } = this;
    const live = feed.livePhases();
    const motor = load.kind !== 'heater';
    if (live < 2) return;
    if (live === 2) {
      const from = feed.live('a') ? 'a' : 'b';
      const to = feed.live('c') ? 'c' : 'b';
      const factor = motor ? SINGLE_PHASING_FACTOR : TWO_PHASE_HEATER_FACTOR;
      currents.addBetween(from, to, factor * amps, motor ? MOTOR_LAG_RADIANS : 0, supply.volts);
      return;
    }
    if (supply.wholePhase !== null) {
      this.halfSupplied(supply.wholePhase, amps, motor, currents);
      return;
    }
    this.balanced(load, amps, motor, evenness, connections, currents);
  }

  /** A motor without neutral: its three currents sum to zero, whatever unbalances them. */
  private balanced(
    load: Load,
    amps: number,
    motor: boolean,
    evenness: number,
    connections: Connections,
    currents: PhaseCurrents,
  ): void {
    const { deviations, factors, supply } = this;
    const { shares } = supply;
    const meanShare = (shares.a + shares.b + shares.c) / 3;
    const byVoltage = motor ? VOLTAGE_AMPLIFICATION : 1;
    const worn = connections.factorsOf(load.contactor, factors);
    let sum = 0;
    for (const phase of PHASES) {
      const byBuild = phase === 'a' ? 1 + evenness : 1 - evenness / 2;
      const factor = (1 + byVoltage * (shares[phase] - meanShare)) * byBuild;
      deviations[phase] = worn ? factor * factors[phase] : factor;
      sum += deviations[phase];
    }
    const mean = sum / 3;
    // Twice the deviation, less the zero sequence, leaves each magnitude with its deviation.
    let zeroX = 0;
    let zeroY = 0;
    for (const phase of PHASES) {
      const { x, y } = UNIT_PHASORS[phase];
      deviations[phase] = 2 * deviations[phase] - mean;
      zeroX += (deviations[phase] * x) / 3;
      zeroY += (deviations[phase] * y) / 3;
    }
    const cos = motor ? MOTOR_COS : 1;
    const sin = motor ? MOTOR_SIN : 0;
    for (const phase of PHASES) {
      const unit = UNIT_PHASORS[phase];
      const x = amps * (deviations[phase] * unit.x - zeroX);
      const y = amps * (deviations[phase] * unit.y - zeroY);
      currents.add(phase, x * cos + y * sin, y * cos - x * sin);
    }
  }

  /** A lost phase ahead of a delta-wye transformer: 230 % in one phase, 115 % back in the others. */
  private halfSupplied(whole: Phase, amps: number, motor: boolean, currents: PhaseCurrents): void {
    const unit = UNIT_PHASORS[whole];
    const large = amps * (motor ? WHOLE_PHASE_FACTOR : 1);
    for (const phase of PHASES) {
      const share = phase === whole ? large : -large / 2;
      currents.add(phase, share * unit.x, share * unit.y);
    }
  }

  private controls(bank: LoadBank, currents: PhaseCurrents): void {
    const { build, feed, lineVolts, supply } = this;
    const [from, to] = build.controlPhases;
    if (feed.controlLive()) {
      const voltAmps = CONTROL_TRANSFORMER_VA + COIL_VA * bank.loadsRunning();
      currents.addBetween(from, to, voltAmps / lineVolts, 0.5, supply.volts);
    }
    if (!build.crankcaseHeaters || !feed.live('b') || !feed.live('c')) return;
    for (const load of bank.loads) {
      if (load.kind === 'compressor' && !load.running) {
        const amps = (CRANKCASE_HEATER_WATTS / lineVolts) * supply.lineShare('b', 'c');
        currents.addBetween('b', 'c', amps, 0, supply.volts);
      }
    }
  }
}
