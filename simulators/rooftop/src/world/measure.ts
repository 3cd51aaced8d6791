import type { CompartmentState } from './compartment-state.ts';
import type { ElectricalSide } from './electrical.ts';
import type { Measurable } from './node.ts';
import { waterPascals } from './saturation-table.ts';
import { type NodeFit, PHASES, type Phase } from './scenario.ts';

/** Writes what is true at the node's terminals into `measurable`. */
export function measure(
  measurable: Measurable,
  electrical: ElectricalSide,
  compartment: Readonly<CompartmentState>,
  fit: NodeFit,
  doorOpen: boolean,
): void {
  const { currents, feed, sensed, supply, system, tracks } = electrical;
  const { airCelsius, plateCelsius, vapourPascals } = compartment;
  const bursts = tracks.bursts();
  measurable.airCelsius = airCelsius;
  measurable.plateCelsius = plateCelsius;
  measurable.humidityPercent = (100 * vapourPascals) / waterPascals(airCelsius);
  measurable.leakMilliamps = sensed.milliamps;
  measurable.resistiveMilliamps = electrical.resistiveMilliamps();
  measurable.peakMilliamps = sensed.milliamps + bursts.extraMilliamps;
  measurable.burstCount = bursts.count;
  measurable.frozenLeak = false;
  measurable.doorOpen = doorOpen;
  for (const phase of PHASES) measurable.amps[phase] = currents.amps(phase);
  if (fit.voltages) {
    const volts = (from: Phase, to: Phase): number =>
      feed.live(from) && feed.live(to) ? supply.lineVolts(from, to) : 0;
    measurable.lineVolts.ab = volts('a', 'b');
    measurable.lineVolts.bc = volts('b', 'c');
    measurable.lineVolts.ca = volts('c', 'a');
  }
  if (!fit.voltagesToGround) return;
  for (const phase of PHASES) {
    measurable.groundVolts[phase] = feed.live(phase) ? system.volts.magnitude(phase) : 0;
  }
}
