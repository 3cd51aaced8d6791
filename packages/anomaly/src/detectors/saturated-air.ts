import type { CompartmentAir } from './sample.ts';

/**
 * A good sensor reads saturated air as no less (3 %RH, and as much of noise), nor the margin over a
 * surface with dew on it as more; over ice about 1 %RH a kelvin lower (ice has 0.91 of the vapour
 * pressure of water at -10 C: ASHRAE Fundamentals, ch. 1).
 */
const SATURATED_PERCENT = 93;
const SATURATED_MARGIN_KELVIN = 0.3;
const ICE_PERCENT_PER_KELVIN = 0.95;

/**
 * Whether the air, or a surface that it lies at, reads saturated: dew, frost or a sensor that
 * sticks.
 */
export function isSaturated({
  humidityPercent,
  celsius,
  marginKelvin,
}: Pick<CompartmentAir, 'humidityPercent' | 'celsius' | 'marginKelvin'>): boolean {
  return (
    humidityPercent >= SATURATED_PERCENT + ICE_PERCENT_PER_KELVIN * Math.min(celsius, 0) ||
    marginKelvin < SATURATED_MARGIN_KELVIN
  );
}
