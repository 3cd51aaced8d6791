import type { RandomStream } from './random.ts';

/**
 * A wandering quantity with mean 0 that forgets its past with a time constant: the discrete
 * Ornstein-Uhlenbeck process, exact for any step width.
 */
export class Drift {
  value: number;
  private readonly stream: RandomStream;
  private readonly forgettingSeconds: number;
  private readonly deviation: number;
  private stepSeconds = 0;
  private keep = 0;
  private kick = 0;

  constructor(stream: RandomStream, forgettingSeconds: number, deviation: number) {
    this.stream = stream;
    this.forgettingSeconds = forgettingSeconds;
    this.deviation = deviation;
    this.value = deviation * stream.gauss();
  }

  step(stepSeconds: number): number {
    if (stepSeconds !== this.stepSeconds) {
      this.stepSeconds = stepSeconds;
      this.keep = Math.exp(-stepSeconds / this.forgettingSeconds);
      this.kick = this.deviation * Math.sqrt(1 - this.keep * this.keep);
    }
    this.value = this.keep * this.value + this.kick * this.stream.gauss();
    return this.value;
  }
}

/** How much of a difference a first-order lag closes within a step: 0 to 1. */
export function lagShare(stepSeconds: number, lagSeconds: number): number {
  return 1 - Math.exp(-stepSeconds / lagSeconds);
}

export function clamp(value: number, low: number, high: number): number {
  return Math.min(Math.max(value, low), high);
}
