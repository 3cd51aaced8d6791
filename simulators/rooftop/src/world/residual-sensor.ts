import type { LoadBank } from './loads.ts';
import { during, type LookAlike } from './look-alike-kinds.ts';
import type { PhaseCurrents } from './phasor.ts';
import type { RandomStream } from './random.ts';

/** Inrush swells the error so much for a second. */
const INRUSH_FACTOR = 3;
/** Where the sensor saturates: the largest plausible value of the channel, mA. */
const FULL_SCALE_MILLIAMPS = 10_000;

/** The common-window transformer: the vector sum, and an error in proportion to the amps. */
export class ResidualSensor {
  /** What it reads but for noise, mA. */
  milliamps = 0;
  private x = 0;
  private y = 0;
  private readonly percent: number;
  private readonly errorX: number;
  private readonly errorY: number;
  private readonly surge: RandomStream;
  private readonly errors: readonly (LookAlike & { readonly kind: 'residual-load-error' })[];

  /** @param errorAngle of the error to phase a, radians. */
  constructor(
    lookAlikes: readonly LookAlike[],
    percent: number,
    errorAngle: number,
    surge: RandomStream,
  ) {
    this.percent = percent;
    this.errorX = Math.cos(errorAngle);
    this.errorY = Math.sin(errorAngle);
    this.surge = surge;
    this.errors = lookAlikes.filter((lookAlike) => lookAlike.kind === 'residual-load-error');
  }

  step(currents: PhaseCurrents, loads: LoadBank, stepSeconds: number, atMs: number): void {
    const amps = (currents.amps('a') + currents.amps('b') + currents.amps('c')) / 3;
    let { percent } = this;
    for (const error of this.errors) if (during(error, atMs)) percent = error.percentOfLoad;
    // The error swells while a start's inrush flows, which lasts a second of the minute.
    const inrush = loads.started && this.surge.uniform() < 1 / stepSeconds ? INRUSH_FACTOR : 1;
    const error = inrush * amps * 10 * percent;
    this.x = 1000 * currents.residualX() + error * this.errorX;
    this.y = 1000 * currents.residualY() + error * this.errorY;
    this.milliamps = Math.min(FULL_SCALE_MILLIAMPS, Math.hypot(this.x, this.y));
  }

  /** By how much it would read otherwise without a current of this phasor, A; mA. */
  effectOf(x: number, y: number): number {
    return Math.abs(this.milliamps - Math.hypot(this.x - 1000 * x, this.y - 1000 * y));
  }
}
