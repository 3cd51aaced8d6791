import { saturationOverWaterPascals } from '@lineside/physics';
import {
  type FieldGuard,
  type FieldGuards,
  hasShape,
  isNullOr,
  isNumber,
  isNumberOrNull,
  isOneOf,
} from '../field-guards.ts';
import { type DwellMs, hasDwelt, nextDwell } from './dwell.ts';
import type { OutdoorSlice } from './outdoor.ts';
import type { CompartmentAir } from './sample.ts';

/**
 * Whether the compartment's humidity and air temperature can be believed.
 *
 * Uses: `rh t tp door`, the outdoor report. Faults that it tells:
 * - flat: the same to the last digit for a day and night while the temperature moved so far that
 *   the same vapour would have made eight points of difference. Near 100 %, where a sensor may
 *   stick for hours after condensation and a wet cabinet truly stays, for three days, and only
 *   when the air outside was dry meanwhile.
 * - jumps: ten and more within six hours, to and fro, which neither the plate nor the other
 *   channel of the same air answers. A door that is opened makes a few.
 * - far off: the air more than 25 K from the plate for six hours.
 * Not told: a slow drift or lasting offset of humidity without a step, because building air up a
 * conduit, or supply air that leaks in, holds a cabinet hundreds of pascals off the air outside.
 */
export interface HumiditySensorSlice {
  readonly atMs: number | null;
  readonly percent: number;
  readonly celsius: number;
  readonly surfaceCelsius: number;
  /** Readings that repeat themselves; null while each differs from the one before. */
  readonly flat: FlatSpell | null;
  readonly jumps: Jumps | null;
  readonly farOffMs: DwellMs;
  readonly calmMs: DwellMs;
  readonly fault: AirSensorFault | null;
}

interface FlatSpell {
  readonly sinceMs: number;
  readonly percent: number;
  readonly coolestCelsius: number;
  readonly warmestCelsius: number;
  readonly driestOutsidePercent: number;
  /** Since when the temperature has moved far enough to show in a live channel. */
  readonly swungAtMs: number | null;
}

interface Jumps {
  readonly ofHumidity: number;
  readonly ofTemperature: number;
  readonly lastAtMs: number;
}

const AIR_SENSOR_FAULTS = [
  'humidity-flat',
  'humidity-pinned',
  'humidity-jumps',
  'temperature-jumps',
  'temperature-far-off',
] as const;
export type AirSensorFault = (typeof AIR_SENSOR_FAULTS)[number];

const MINUTE_MS = 60_000;
const HOUR_MS: number = 60 * MINUTE_MS;
const FLAT_MS: number = 24 * HOUR_MS;
/** What the vapour of a flat spell would have made of the humidity, points. */
const FLAT_LEAST_SWING_PERCENT = 8;
/** Moist walls and ice hold back for a while what the air's own vapour would do. */
const SWUNG_MS: number = 6 * HOUR_MS;
const NEAR_SATURATION_PERCENT = 97;
const PINNED_WITHIN_PERCENT = 0.2;
const PINNED_MS: number = 72 * HOUR_MS;
const PINNED_LEAST_SWING_KELVIN = 8;
const PINNED_OUTSIDE_PERCENT = 75;
/**
 * Below the dew point of humid room air, 21 C and 60 %, building air may truly keep it saturated.
 */
const PINNED_WARM_CELSIUS = 13;
/** Faster than any air of a compartment changes with its door closed. Common practice. */
const JUMP_PERCENT = 15;
const JUMP_KELVIN = 8;
const JUMP_WITHIN_MS: number = 5 * MINUTE_MS;
const JUMPS_TO_RAISE = 10;
const JUMPS_WITHIN_MS: number = 6 * HOUR_MS;
/** A plate answers its air slowly, but a door or a start that moves the air moves it too. */
const STILL_KELVIN = 1;
/** Of the change that constant vapour makes of the humidity; less is no counterpart. */
const COUNTERPART_SHARE = 0.25;
const FAR_OFF_KELVIN = 25;
const FAR_OFF_MS: number = 6 * HOUR_MS;
const CLOSING_MS: number = 6 * HOUR_MS;
/** A channel that has stood still for longer is not moving again yet. */
const MOVING_AGAIN_MS: number = 2 * HOUR_MS;

export const HUMIDITY_SENSOR_START: HumiditySensorSlice = {
  atMs: null,
  percent: 0,
  celsius: 0,
  surfaceCelsius: 0,
  flat: null,
  jumps: null,
  farOffMs: null,
  calmMs: null,
  fault: null,
};

const isFlatSpell: FieldGuard = hasShape<FlatSpell>({
  sinceMs: isNumber,
  percent: isNumber,
  coolestCelsius: isNumber,
  warmestCelsius: isNumber,
  driestOutsidePercent: isNumber,
  swungAtMs: isNumberOrNull,
});
const areJumps: FieldGuard = hasShape<Jumps>({
  ofHumidity: isNumber,
  ofTemperature: isNumber,
  lastAtMs: isNumber,
});

export const HUMIDITY_SENSOR_FIELDS: FieldGuards<HumiditySensorSlice> = {
  atMs: isNumberOrNull,
  percent: isNumber,
  celsius: isNumber,
  surfaceCelsius: isNumber,
  flat: isNullOr(isFlatSpell),
  jumps: isNullOr(areJumps),
  farOffMs: isNumberOrNull,
  calmMs: isNumberOrNull,
  fault: isOneOf([null, ...AIR_SENSOR_FAULTS]),
};

/** To be called for instants that bring the compartment's air. */
export function stepHumiditySensor(
  slice: HumiditySensorSlice,
  atMs: number,
  air: CompartmentAir,
  doorOpen: boolean,
  outdoor: OutdoorSlice,
): HumiditySensorSlice {
  const { fault } = slice;
  const elapsedMs = slice.atMs === null ? 0 : atMs - slice.atMs;
  const jumps = nextJumps(slice, atMs, elapsedMs, air, doorOpen);
  const flat = slice.atMs === null ? null : nextFlat(slice, slice.atMs, atMs, air, outdoor);
  const farOff =
    !air.marginInferred && Math.abs(air.celsius - air.surfaceCelsius) >= FAR_OFF_KELVIN;
  const farOffMs =
    farOff || slice.farOffMs !== null
      ? nextDwell(slice.farOffMs, farOff, elapsedMs, FAR_OFF_MS)
      : null;
  const seen = symptom(flat, jumps, farOffMs, atMs);
  const moving = flat === null || atMs - flat.sinceMs < MOVING_AGAIN_MS;
  const well = fault !== null && seen === null && moving && !farOff;
  const calmMs = well ? nextDwell(slice.calmMs, true, elapsedMs, CLOSING_MS) : null;
  return {
    atMs,
    percent: air.humidityPercent,
    celsius: air.celsius,
    surfaceCelsius: air.surfaceCelsius,
    flat,
    jumps,
    farOffMs,
    calmMs,
    fault: hasDwelt(calmMs, CLOSING_MS) ? null : (fault ?? seen),
  };
}

function nextFlat(
  slice: HumiditySensorSlice,
  lastAtMs: number,
  atMs: number,
  { humidityPercent, celsius }: CompartmentAir,
  outdoor: OutdoorSlice,
): FlatSpell | null {
  const percent = slice.flat === null ? slice.percent : slice.flat.percent;
  const within =
    Math.min(humidityPercent, percent) >= NEAR_SATURATION_PERCENT ? PINNED_WITHIN_PERCENT : 0;
  if (Math.abs(humidityPercent - percent) > within) return null;
  const before = slice.flat ?? {
    sinceMs: lastAtMs,
    percent,
    coolestCelsius: slice.celsius,
    warmestCelsius: slice.celsius,
    driestOutsidePercent: 100,
    swungAtMs: null,
  };
  const coolestCelsius = Math.min(before.coolestCelsius, celsius);
  const warmestCelsius = Math.max(before.warmestCelsius, celsius);
  const widened = coolestCelsius < before.coolestCelsius || warmestCelsius > before.warmestCelsius;
  const swung =
    before.swungAtMs === null && widened && hasSwung(percent, coolestCelsius, warmestCelsius);
  return {
    sinceMs: before.sinceMs,
    percent,
    coolestCelsius,
    warmestCelsius,
    driestOutsidePercent: Math.min(before.driestOutsidePercent, outdoor.humidityPercent ?? 100),
    swungAtMs: swung ? atMs : before.swungAtMs,
  };
}

function hasSwung(percent: number, coolestCelsius: number, warmestCelsius: number): boolean {
  if (percent >= NEAR_SATURATION_PERCENT) {
    return warmestCelsius - coolestCelsius >= PINNED_LEAST_SWING_KELVIN;
  }
  const ratio =
    saturationOverWaterPascals(coolestCelsius) / saturationOverWaterPascals(warmestCelsius);
  return percent * (1 - ratio) >= FLAT_LEAST_SWING_PERCENT;
}

function nextJumps(
  slice: HumiditySensorSlice,
  atMs: number,
  elapsedMs: number,
  air: CompartmentAir,
  doorOpen: boolean,
): Jumps | null {
  const { jumps } = slice;
  const kept = jumps !== null && atMs - jumps.lastAtMs <= JUMPS_WITHIN_MS ? jumps : null;
  const jumped =
    elapsedMs <= 0 || elapsedMs > JUMP_WITHIN_MS || doorOpen ? null : jumpOf(slice, air);
  if (jumped === null) return kept;
  const add = jumped === 'humidity' ? 1 : 0;
  return {
    ofHumidity: Math.min((kept?.ofHumidity ?? 0) + add, JUMPS_TO_RAISE),
    ofTemperature: Math.min((kept?.ofTemperature ?? 0) + 1 - add, JUMPS_TO_RAISE),
    lastAtMs: atMs,
  };
}

/** Which of the two moved faster than air can, without an answer of plate and the other one. */
function jumpOf(
  slice: HumiditySensorSlice,
  air: CompartmentAir,
): 'humidity' | 'temperature' | null {
  const risenPercent = air.humidityPercent - slice.percent;
  const risenKelvin = Math.abs(air.celsius - slice.celsius);
  if (risenKelvin < JUMP_KELVIN && Math.abs(risenPercent) < JUMP_PERCENT) return null;
  const plateStill =
    air.marginInferred || Math.abs(air.surfaceCelsius - slice.surfaceCelsius) < STILL_KELVIN;
  if (!plateStill) return null;
  if (risenKelvin < JUMP_KELVIN) return risenKelvin < STILL_KELVIN ? 'humidity' : null;
  const asVapour =
    slice.percent * (saturationOverWaterPascals(slice.celsius) / air.saturationPascals - 1);
  const answered =
    risenPercent * asVapour > 0 && Math.abs(risenPercent) >= COUNTERPART_SHARE * Math.abs(asVapour);
  return answered ? null : 'temperature';
}

function symptom(
  flat: FlatSpell | null,
  jumps: Jumps | null,
  farOffMs: DwellMs,
  atMs: number,
): AirSensorFault | null {
  if (jumps !== null && jumps.ofTemperature >= JUMPS_TO_RAISE) return 'temperature-jumps';
  if (jumps !== null && jumps.ofHumidity >= JUMPS_TO_RAISE) return 'humidity-jumps';
  if (hasDwelt(farOffMs, FAR_OFF_MS)) return 'temperature-far-off';
  if (flat === null || flat.swungAtMs === null || atMs - flat.swungAtMs < SWUNG_MS) return null;
  const flatMs = atMs - flat.sinceMs;
  if (flat.percent < NEAR_SATURATION_PERCENT) return flatMs >= FLAT_MS ? 'humidity-flat' : null;
  const isDry =
    flat.driestOutsidePercent <= PINNED_OUTSIDE_PERCENT &&
    flat.warmestCelsius >= PINNED_WARM_CELSIUS;
  return flatMs >= PINNED_MS && isDry ? 'humidity-pinned' : null;
}
