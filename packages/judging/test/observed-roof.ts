import { type Unit, USUAL_LIMITS } from '@lineside/fleet';
import type { ChannelValues, Reading } from '@lineside/readings';

export const MINUTE_MS = 60_000;
export const HOUR_MS: number = 60 * MINUTE_MS;
/** Where invented histories begin: 2026-01-10T00:00:00Z. */
export const START_MS: number = Date.parse('2026-01-10T00:00:00Z');

export function unitLike(changes: Partial<Unit> = {}): Unit {
  return {
    site: 'harbour-mall',
    id: 'rtu-01',
    name: 'RTU-1',
    supply: {
      volts: 600,
      hertz: 60,
      grounding: 'solid-wye',
      groundingAssumed: false,
      mcaAmps: 38,
      mopAmps: 50,
    },
    fuses: { class: 'RK5', amps: 50 },
    contactors: [{ name: 'C1', load: 'compressor 1', poles: 3, flaAmps: 18 }],
    drive: false,
    access: null,
    roof: null,
    nodeSupply: 'battery',
    limits: USUAL_LIMITS,
    retired: false,
    ...changes,
  };
}

function readingAt(minute: number, channels: ChannelValues, unit = 'rtu-01'): Reading {
  return { site: 'harbour-mall', unit, atMs: START_MS + minute * MINUTE_MS, channels };
}

/** An idle unit in dry air whose leakage is given for each minute, mA. */
export function idleWithLeakage(milliamps: readonly number[], fromMinute = 0): Reading[] {
  return milliamps.map((each, index) =>
    readingAt(fromMinute + index, {
      rh: 45 + ((index * 7) % 5) / 10,
      t: 20,
      leak: each / 1000,
      ia: 0.42,
      ib: 0.41,
      ic: 0.01,
    }),
  );
}
