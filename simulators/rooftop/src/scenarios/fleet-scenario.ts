import type { Fleet, Site, Unit } from '@lineside/fleet';
import { CLIMATE_NAMES, CLIMATES, type Climate, type ClimateName } from '../world/climate.ts';
import { type RandomStream, randomStream } from '../world/random.ts';
import {
  type Fault,
  PHASES,
  type Phase,
  type Scenario,
  type UnitScript,
} from '../world/scenario.ts';
import { healthyScript } from '../world/world.ts';

const MS_PER_DAY = 86_400_000;
const DAYS_PER_YEAR = 365.25;
/** About one unit in four carries a fault. */
const FAULTY_SHARE = 0.25;
/** Below this latitude it is warm. */
const WARM_LATITUDE = 36;
const WARM: readonly ClimateName[] = ['humid-coast', 'dry-basin', 'steam-delta'];

export interface FleetScenarioOptions {
  readonly fleet: Fleet;
  readonly seed: number;
  readonly nowMs: number;
  readonly historyDays: number;
}

/**
 * A scenario for any fleet: climates by latitude, the season of the calendar, and a fault for about
 * every fourth unit, drawn from the seed.
 */
export function fleetScenario(options: FleetScenarioOptions): Scenario {
  const { fleet, seed, nowMs, historyDays } = options;
  return {
    nowMs,
    startMs: nowMs - historyDays * MS_PER_DAY,
    seasonDayAtNow: (nowMs / MS_PER_DAY) % DAYS_PER_YEAR,
    climates: Object.fromEntries(fleet.sites.map((site) => [site.id, climateOf(site, seed)])),
    storms: [],
    units: fleet.units.filter((unit) => !unit.retired).map((unit) => scriptOf(unit, options)),
  };
}

function climateOf(site: Site, seed: number): Climate {
  const latitude = Math.abs(site.latitudeDegrees ?? 45);
  const choice =
    latitude < WARM_LATITUDE ? WARM : CLIMATE_NAMES.filter((name) => !WARM.includes(name));
  const draw = randomStream(seed, `${site.id}/climate`).uniform();
  return CLIMATES[choice[Math.floor(draw * choice.length)] ?? 'rainy-valley'];
}

function scriptOf(unit: Unit, options: FleetScenarioOptions): UnitScript {
  const random = randomStream(options.seed, `${unit.site}/${unit.id}/scenario`);
  const healthy = healthyScript(unit.site, unit.id);
  if (random.uniform() >= FAULTY_SHARE) return healthy;
  return { ...healthy, faults: [drawFault(random, options)] };
}

function drawFault(random: RandomStream, options: FleetScenarioOptions): Fault {
  const { nowMs, historyDays } = options;
  const phase: Phase = PHASES[Math.floor(random.uniform() * 3)] ?? 'a';
  const someDaysAgoMs = nowMs - random.between(0.2, 0.9) * historyDays * MS_PER_DAY;
  const draw = random.uniform();
  if (draw < 0.4) {
    return {
      kind: 'track-to-ground',
      phase,
      depositMicrosiemens: random.between(8, 18),
      wettingPointPercent: random.between(60, 68),
      carbonAtStart: random.between(0.02, 0.2),
      carbonPerKilojoule: 0.0003,
      flashOvers: [{ notBeforeMs: someDaysAgoMs, aboveMilliamps: 35, opens: [phase] }],
    };
  }
  if (draw < 0.6) {
    const opening = {
      facingDegrees: random.between(0, 360),
      catchSquareMetres: random.between(0.008, 0.02),
      drainBlocked: random.uniform() < 0.5,
    };
    return { kind: 'water-ingress', opening };
  }
  if (draw < 0.8) {
    return {
      kind: 'load-insulation',
      contactor: 0,
      phase,
      fromMs: someDaysAgoMs,
      milliamps: random.between(4, 7),
      milliampsPerWeek: random.between(1, 4),
    };
  }
  return {
    kind: 'loose-terminal',
    contactor: 0,
    phase,
    fromMs: someDaysAgoMs,
    untilMs: nowMs,
    finalPercent: random.between(12, 26),
  };
}
