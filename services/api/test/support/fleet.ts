import { type Fleet, type Unit, USUAL_LIMITS } from '@lineside/fleet';

export function unitNamed(site: string, id: string, more: Partial<Unit> = {}): Unit {
  return {
    site,
    id,
    name: `Unit ${id}`,
    supply: {
      volts: 600,
      hertz: 60,
      grounding: 'solid-wye',
      groundingAssumed: true,
      mcaAmps: 38,
      mopAmps: null,
    },
    fuses: { class: 'RK5', amps: 50 },
    contactors: [{ name: 'C1', load: 'compressor 1', poles: 3, flaAmps: 18 }],
    drive: false,
    access: 'Ladder C',
    roof: { x: 12, y: 5 },
    nodeSupply: 'battery',
    limits: USUAL_LIMITS,
    retired: false,
    ...more,
  };
}

/** Two sites, four units; one of the units is retired. */
export const FLEET: Fleet = {
  sites: [
    {
      id: 'harbour',
      name: 'Harbour Mall',
      timezone: 'America/Halifax',
      latitudeDegrees: 44.65,
      longitudeDegrees: -63.57,
    },
    {
      id: 'mill',
      name: 'Old Mill',
      timezone: 'UTC',
      latitudeDegrees: null,
      longitudeDegrees: null,
    },
  ],
  units: [
    unitNamed('mill', 'rtu-01'),
    unitNamed('harbour', 'rtu-02'),
    unitNamed('harbour', 'rtu-01'),
    unitNamed('harbour', 'rtu-00', { retired: true }),
  ],
};
