import type { Chance } from './chance.ts';

/** A first-order autoregressive process of mean 0 and deviation 1. */
export class Wander {
  value: number;
  private readonly chance: Chance;
  private readonly memoryMs: number;
  private stepMs = 0;
  private keeps = 0;
  private adds = 0;

  /** @param memoryMs after how long 1/e is left of what it was. */
  constructor(chance: Chance, memoryMs: number) {
    this.chance = chance;
    this.memoryMs = memoryMs;
    this.value = chance.normal();
  }

  step(ms: number): number {
    if (ms !== this.stepMs) {
      this.stepMs = ms;
      this.keeps = Math.exp(-ms / this.memoryMs);
      this.adds = Math.sqrt(1 - this.keeps * this.keeps);
    }
    this.value = this.keeps * this.value + this.adds * this.chance.normal();
    return this.value;
  }
}

/** How far a first-order lag goes towards its aim within a step, 0 to 1. */
export function approach(stepMs: number, lagMs: number): number {
  return 1 - Math.exp(-stepMs / lagMs);
}
