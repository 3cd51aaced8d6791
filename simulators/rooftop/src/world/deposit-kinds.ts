/** How one kind of dirt takes up and gives off water. */
export interface DepositKind {
  /** Humidity above which it takes up water from the air, % RH. */
  readonly wettingPointPercent: number;
  /** Above the wetting point conductance rises with this power of the distance to 100 % RH. */
  readonly humidExponent: number;
  /** How much better the thickest liquid film conducts than the deposit in air of 100 % RH. */
  readonly liquidFactor: number;
  /** Where its wet film freezes, C. */
  readonly freezesAtCelsius: number;
  readonly wettingLagSeconds: number;
  readonly dryingLagSeconds: number;
}

export const DEPOSIT_KIND_NAMES = [
  'mineral-dust',
  'soot',
  'metal-dust',
  'chloride-salt',
  'grease-film',
] as const;
export type DepositKindName = (typeof DEPOSIT_KIND_NAMES)[number];

const MINUTE = 60;

/**
 * Wetting points: chloride wets below 75 % RH and below 0 C (deliquescence of sodium chloride is at
 * 75 % RH, of magnesium chloride at 33 % RH; sea salt is a mixture, 60 % RH is an assumption).
 * Every other figure in this table is an assumption.
 */
export const DEPOSIT_KINDS: Readonly<Record<DepositKindName, DepositKind>> = {
  'mineral-dust': {
    wettingPointPercent: 72,
    humidExponent: 2.2,
    liquidFactor: 3,
    freezesAtCelsius: 0,
    wettingLagSeconds: 20 * MINUTE,
    dryingLagSeconds: 50 * MINUTE,
  },
  soot: {
    wettingPointPercent: 68,
    humidExponent: 1.8,
    liquidFactor: 2.2,
    freezesAtCelsius: 0,
    wettingLagSeconds: 15 * MINUTE,
    dryingLagSeconds: 70 * MINUTE,
  },
  'metal-dust': {
    wettingPointPercent: 78,
    humidExponent: 1.6,
    liquidFactor: 4,
    freezesAtCelsius: 0,
    wettingLagSeconds: 12 * MINUTE,
    dryingLagSeconds: 35 * MINUTE,
  },
  'chloride-salt': {
    wettingPointPercent: 60,
    humidExponent: 1.9,
    liquidFactor: 4,
    freezesAtCelsius: -9,
    wettingLagSeconds: 25 * MINUTE,
    dryingLagSeconds: 110 * MINUTE,
  },
  'grease-film': {
    wettingPointPercent: 80,
    humidExponent: 2.4,
    liquidFactor: 2,
    freezesAtCelsius: 0,
    wettingLagSeconds: 150 * MINUTE,
    dryingLagSeconds: 120 * MINUTE,
  },
};
