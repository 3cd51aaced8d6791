/**
 * The two tests of the detector that knows the world, both on the logarithm of the likelihood ratio
 * of a known signal in known Gaussian noise. A reading that would differ by `d` standard deviations
 * brings d^2/2 on average when the signal is there, with a deviation of d (the matched filter).
 */

/** The logarithms at which a sequential test decides. */
export interface Bounds {
  readonly upper: number;
  readonly lower: number;
}

/**
 * Bounds of the sequential probability ratio test (A. Wald 1945): ln A with A = (1 - beta) / alpha
 * and ln B with B = beta / (1 - alpha).
 *
 * @param alpha chance to accept the signal where there is none, between 0 and 1.
 * @param beta chance to reject a signal that is there.
 * @throws RangeError unless both are above 0 and their sum is below 1.
 */
export function waldBounds(alpha: number, beta: number): Bounds {
  if (!(alpha > 0 && beta > 0 && alpha + beta < 1)) {
    throw new RangeError(
      `no test errs with alpha ${alpha} and beta ${beta}: both above 0, sum < 1`,
    );
  }
  return { upper: Math.log((1 - beta) / alpha), lower: Math.log(beta / (1 - alpha)) };
}

/**
 * The logarithm of the ratio from which on a fault is told of, for so many false alarms a unit-year
 * in a watch of so many years. By Ville's inequality (1939) noise alone ever lifts a likelihood
 * ratio to 1 / alpha with a chance of at most alpha, however often one looks. At least 0.
 *
 * @throws RangeError unless both are above 0.
 */
export function alarmBound(falsePerUnitYear: number, years: number): number {
  if (!(falsePerUnitYear > 0 && years > 0)) {
    throw new RangeError(`${falsePerUnitYear} a year in ${years} years sets no threshold: above 0`);
  }
  return Math.max(0, -Math.log(falsePerUnitYear * years));
}

/** Adds up what readings tell for, or against, a known signal. */
export class LikelihoodRatio {
  /** Natural logarithm of the ratio, signal to none. */
  log = 0;

  /**
   * One reading in which the signal is there.
   *
   * @param power square of the signal over its noise; a little below 0 where it is estimated.
   * @param deviate the noise of this reading, standard normal.
   */
  present(power: number, deviate: number): void {
    this.log += power / 2 + Math.sqrt(Math.max(0, power)) * deviate;
  }

  /** One reading from which the signal is absent. */
  absent(power: number, deviate: number): void {
    this.log -= power / 2 + Math.sqrt(Math.max(0, power)) * deviate;
  }
}
