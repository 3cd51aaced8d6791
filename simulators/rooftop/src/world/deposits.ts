import { DEPOSIT_KINDS, type DepositKind } from './deposit-kinds.ts';
import { clamp, lagShare } from './drift.ts';

/** The air and water at the surface that a deposit lies on. */
export interface SurfaceMoisture {
  /** Humidity of the air as the surface's own temperature makes it, % RH. */
  readonly humidityPercent: number;
  readonly filmGramsPerSquareMetre: number;
  readonly celsius: number;
}

/** What there is of a deposit unless a caller says otherwise. */
const USUAL: DepositKind = DEPOSIT_KINDS['mineral-dust'];
/** A liquid film of this much conducts half as well as the thickest. */
const HALF_FILM_GRAMS_PER_SQUARE_METRE = 12;
/** Films of melt water stop conducting over this range below where they freeze. */
const FREEZING_KELVIN = 1.5;

/**
 * How wet a deposit is in balance with its surroundings: 0 dry, 1 in air of 100 % RH, more under
 * liquid water (up to 1 and the kind's `liquidFactor`). Smooth; 0 up to the wetting point.
 *
 * @param wettingPointPercent of this very deposit, % RH, below 100.
 * @param kind gives everything but the wetting point.
 */
export function balancedWetness(
  moisture: SurfaceMoisture,
  wettingPointPercent: number,
  kind: DepositKind = USUAL,
): number {
  const thawed = clamp(1 + (moisture.celsius - kind.freezesAtCelsius) / FREEZING_KELVIN, 0, 1);
  if (thawed === 0) return 0;
  const film = moisture.filmGramsPerSquareMetre;
  const liquid =
    film > 0 ? (kind.liquidFactor * film) / (film + HALF_FILM_GRAMS_PER_SQUARE_METRE) : 0;
  return (humidWetness(moisture.humidityPercent, wettingPointPercent, kind) + liquid) * thawed;
}

/** The part of `balancedWetness` that the humidity of the air alone gives, not yet frozen. */
function humidWetness(
  humidityPercent: number,
  wettingPointPercent: number,
  kind: DepositKind = USUAL,
): number {
  const above =
    (clamp(humidityPercent, 0, 100) - wettingPointPercent) / (100 - wettingPointPercent);
  return above > 0 ? above ** kind.humidExponent : 0;
}

/** Wetness follows with a lag: a deposit wets faster than it dries, grease delays both. */
export function followWetness(
  current: number,
  goal: number,
  stepSeconds: number,
  kind: DepositKind = USUAL,
): number {
  if (current === goal) return goal;
  const lag = goal > current ? kind.wettingLagSeconds : kind.dryingLagSeconds;
  return current + (goal - current) * lagShare(stepSeconds, lag);
}
