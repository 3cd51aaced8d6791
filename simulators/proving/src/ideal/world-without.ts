import type { ChannelValues } from '@lineside/readings';
import {
  createWorld,
  type Fault,
  type LookAlike,
  runWorld,
  type UnitScript,
} from '@lineside/rooftop';
import type { CasePlan } from '../cohorts/case-plan.ts';

/** Faults whose effect is tested against the same world without them. */
const TESTED: readonly Fault['kind'][] = [
  'track-to-ground',
  'track-between-poles',
  'load-insulation',
  'vermin',
  'compressor-grounded',
  'loose-terminal',
  'worn-pole',
  'supply-unbalance',
  'hot-fuse-clip',
  'open-fuse',
  'fuses-gone',
  'disconnect-open',
  'utility-phase-lost',
];

export function isTested({ kind }: Fault): boolean {
  return TESTED.includes(kind);
}

/** What one unit would have sent without its faults, in order. Draws on the same noise. */
export class ReadingsWithout {
  private readonly times: number[] = [];
  private readonly channels: ChannelValues[] = [];
  private next = 0;
  private apart = false;

  keep(atMs: number, channels: ChannelValues): void {
    this.times.push(atMs);
    this.channels.push(channels);
  }

  /**
   * What would have been sent instead; asked for in order. Null from the first reading on that is
   * missing on one side: a node that did not measure has not drawn its noise, and the noise of both
   * worlds is no longer the same.
   */
  take(atMs: number): ChannelValues | null {
    if (this.apart || this.times[this.next] !== atMs) {
      this.apart = true;
      return null;
    }
    this.next += 1;
    return this.channels[this.next - 1] ?? null;
  }
}

/** Look-alikes that leak. An error of the sensor does not: it goes with the amps, and is excused. */
const LEAKING: readonly LookAlike['kind'][] = ['emi-filter', 'damp-heater', 'surge-arrester'];

/**
 * Plays the same world once more without the tested faults, by unit; null when it has none. All
 * else is the same to the last bit: weather, loads, other faults and each draw of noise.
 */
export function playWithout(plan: CasePlan): ReadonlyMap<string, ReadingsWithout> | null {
  if (!plan.scenario.units.some(({ faults }) => faults.some(isTested))) return null;
  return playChanged(plan, (script) => ({
    ...script,
    faults: script.faults.filter((fault) => !isTested(fault)),
  }));
}

/** As `playWithout`, without the look-alikes that leak; null when it has none. */
export function playWithoutLookAlikes(plan: CasePlan): ReadonlyMap<string, ReadingsWithout> | null {
  const leaks = ({ kind }: LookAlike): boolean => LEAKING.includes(kind);
  if (!plan.scenario.units.some(({ lookAlikes = [] }) => lookAlikes.some(leaks))) return null;
  return playChanged(plan, (script) => ({
    ...script,
    lookAlikes: (script.lookAlikes ?? []).filter((lookAlike) => !leaks(lookAlike)),
  }));
}

function playChanged(
  { fleet, scenario, seed, endMs, everyMs }: CasePlan,
  change: (script: UnitScript) => UnitScript,
): ReadonlyMap<string, ReadingsWithout> {
  const { startMs } = scenario;
  const changed = { ...scenario, units: scenario.units.map(change) };
  const world = createWorld({ seed, fleet, scenario: changed, startMs });
  const byUnit = new Map(world.units.map(({ unit }) => [unit.id, new ReadingsWithout()]));
  runWorld(
    world,
    { everyMs, endMs },
    {
      reading: ({ unit, atMs, channels }) => byUnit.get(unit)?.keep(atMs, channels),
      weather: () => undefined,
      service: () => undefined,
    },
  );
  return byUnit;
}
