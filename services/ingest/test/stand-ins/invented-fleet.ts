import { type Fleet, type Site, type Unit, USUAL_LIMITS } from '@lineside/fleet';

function site(id: string): Site {
  return { id, name: id, timezone: 'UTC', latitudeDegrees: null, longitudeDegrees: null };
}

function unit(siteId: string, id: string, retired = false): Unit {
  return {
    site: siteId,
    id,
    name: `${siteId} ${id}`,
    supply: {
      volts: 600,
      hertz: 60,
      grounding: 'solid-wye',
      groundingAssumed: true,
      mcaAmps: 38,
      mopAmps: 50,
    },
    fuses: { class: 'RK5', amps: 50 },
    contactors: [],
    drive: false,
    access: null,
    roof: null,
    nodeSupply: null,
    limits: USUAL_LIMITS,
    retired,
  };
}

/** Two sites; `old-unit` is retired. */
export const INVENTED_FLEET: Fleet = {
  sites: [site('harbour-mall'), site('north-depot')],
  units: [
    unit('harbour-mall', 'rtu-01'),
    unit('harbour-mall', 'rtu-02'),
    unit('harbour-mall', 'old-unit', true),
    unit('north-depot', 'rtu-01'),
  ],
};
