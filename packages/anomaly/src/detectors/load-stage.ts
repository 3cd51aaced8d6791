import type { OperatingSlice } from './operating-state.ts';
import type { DetectorParameters } from './parameters.ts';

/**
 * Stages of load that are learned apart: at rest, and five octaves of running current. Stages of
 * one unit (fans alone, one compressor, two) lie about a factor of two apart, while one stage
 * moves by a tenth or two with the weather. Common practice, no source.
 */
export const LOAD_STAGES = 6;

/** 0 at rest, 1 to 5 while running, -1 while the unit is dead or what it does is unknown. */
export function loadStage(operating: OperatingSlice, parameters: DetectorParameters): number {
  if (operating.state === 'idle') return 0;
  if (operating.state !== 'running') return -1;
  const octave = Math.floor(Math.log2(operating.largestAmps / parameters.runningAmps));
  return Math.min(Math.max(octave, 0), LOAD_STAGES - 2) + 1;
}

/** The most that a running load of the same stage carries, A. */
export function stageTopAmps(amps: number, parameters: DetectorParameters): number {
  const octave = Math.max(Math.floor(Math.log2(amps / parameters.runningAmps)), 0);
  return parameters.runningAmps * 2 ** (octave + 1);
}

/** A copy of a list of stages with one of them replaced. */
export function withStage<T>(stages: readonly T[], index: number, stage: T): readonly T[] {
  const copy = stages.slice();
  copy[index] = stage;
  return copy;
}
