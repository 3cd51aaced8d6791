import { createWorld, type LookAlike, type UnitScript, type World } from '@lineside/rooftop';
import type { CasePlan } from './case-plan.ts';

type SiteWeather = World['sites'][number];

const MINUTE_MS = 60_000;
const HOUR_MS: number = 60 * MINUTE_MS;
/** Hours of the day at which somebody begins; common practice, no source. */
const FIRST_HOUR = 8;
const LAST_HOUR = 15;
/** Colder, the hose is drained and the coil's water freezes; common practice, no source. */
const LEAST_CELSIUS = 5;
/** A roof dries for so long before somebody sets out; common practice, no source. */
const DRY_BEFORE_MS: number = 3 * HOUR_MS;

/**
 * The plan with its coil washings at the time at which somebody would wash coils: by day, on a
 * dry roof, above freezing, the first such moment from the drawn one on. Where none comes before the
 * end nobody washes.
 */
export function withWashingsInTime(plan: CasePlan): CasePlan {
  const { scenario, seed, fleet, endMs } = plan;
  if (!scenario.units.some(({ lookAlikes = [] }) => lookAlikes.some(isWashing))) return plan;
  const world = createWorld({ seed, fleet, scenario, startMs: scenario.startMs });
  const units = scenario.units.map((script) => inTime(script, world.site(script.site), endMs));
  return { ...plan, scenario: { ...scenario, units } };
}

function inTime(script: UnitScript, weather: SiteWeather, endMs: number): UnitScript {
  const lookAlikes = (script.lookAlikes ?? []).flatMap((lookAlike) => {
    if (!isWashing(lookAlike)) return lookAlike;
    const { fromMs, toMs } = lookAlike;
    const startMs = washingTimeMs(weather, fromMs, endMs, toMs - fromMs);
    return startMs === null ? [] : { ...lookAlike, fromMs: startMs, toMs: startMs + toMs - fromMs };
  });
  return { ...script, lookAlikes };
}

const isWashing = ({ kind }: LookAlike): boolean => kind === 'coil-washing';

function washingTimeMs(
  weather: SiteWeather,
  fromMs: number,
  endMs: number,
  lastsMs: number,
): number | null {
  for (let startMs = fromMs; startMs + lastsMs <= endMs; startMs += HOUR_MS) {
    if (isFitForWashing(weather, startMs, lastsMs)) return startMs;
  }
  return null;
}

function isFitForWashing(weather: SiteWeather, startMs: number, lastsMs: number): boolean {
  const hour = weather.solarHourAt(startMs);
  if (hour < FIRST_HOUR || hour > LAST_HOUR) return false;
  for (let atMs = startMs - DRY_BEFORE_MS; atMs < startMs + lastsMs; atMs += MINUTE_MS) {
    const { celsius, rainMm, snowMm } = weather.at(atMs);
    if (rainMm > 0 || snowMm > 0 || (atMs >= startMs && celsius < LEAST_CELSIUS)) return false;
  }
  return true;
}
