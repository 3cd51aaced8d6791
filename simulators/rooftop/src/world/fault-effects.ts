import { clamp } from './drift.ts';
import type { Feed } from './feed.ts';
import type { LoadBank } from './loads.ts';
import type { Fault, Phase } from './scenario.ts';

const MS_PER_WEEK = 7 * 86_400_000;
/** Insulation worsens by this share a kelvin of outdoor temperature: weak (assumption). */
const INSULATION_PER_KELVIN = 0.008;

/** What a loosening terminal does to the current of a load's phase, as a factor. */
export function looseTerminalFactor(
  faults: readonly Fault[],
  repaired: boolean,
  contactor: number,
  phase: Phase,
  atMs: number,
): number {
  let factor = 1;
  for (const fault of faults) {
    if (fault.kind !== 'loose-terminal' || repaired || fault.contactor !== contactor) continue;
    const time = clamp((atMs - fault.fromMs) / (fault.untilMs - fault.fromMs), 0, 1);
    // Slow until the contact begins to overheat.
    const share = (fault.finalPercent / 100) * (0.12 * time + 0.88 * time ** 4);
    factor *= phase === fault.phase ? 1 - share : 1 + share / 2;
  }
  return factor;
}

/** Leakage of bad insulation behind a contactor that is pulled in now, mA. */
export function loadInsulationMilliamps(
  fault: Fault & { kind: 'load-insulation' },
  loads: LoadBank,
  feed: Feed,
  outdoorCelsius: number,
  atMs: number,
): number {
  if (atMs < fault.fromMs || !feed.live(fault.phase)) return 0;
  const load = loads.loads[fault.contactor];
  if (load === undefined || !load.running) return 0;
  const weeks = (atMs - fault.fromMs) / MS_PER_WEEK;
  const warmth = 1 + INSULATION_PER_KELVIN * (outdoorCelsius - 10);
  return (fault.milliamps + fault.milliampsPerWeek * weeks) * warmth;
}

/** Phase-to-neutral voltages as shares of the nominal one. */
export function voltageShares(
  faults: readonly Fault[],
  level: number,
  evenness: number,
  atMs: number,
): Record<Phase, number> {
  const shares = { a: level * (1 + evenness), b: level, c: level * (1 - evenness) };
  for (const fault of faults) {
    if (fault.kind === 'supply-unbalance' && atMs >= fault.fromMs) {
      shares[fault.phase] *= 1 - fault.lowPercent / 100;
    }
  }
  return shares;
}

/** Phases whose current sensor reads nothing. */
export function deadSensors(faults: readonly Fault[], atMs: number): Phase[] {
  return faults.flatMap((fault) =>
    fault.kind === 'current-sensor-dead' && atMs >= fault.fromMs ? [fault.phase] : [],
  );
}
