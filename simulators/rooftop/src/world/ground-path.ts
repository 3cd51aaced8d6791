import type { GroundAdmittance } from './grounding.ts';
import type { Phase } from './scenario.ts';

/** Something that conducts from one phase to ground and should not. */
export interface GroundPath {
  readonly phase: Phase;
  /** Of the fault in the script; null for what looks like one. */
  readonly fault: number | null;
  microsiemens: number;
  /** Its current now, A. */
  x: number;
  y: number;
}

export function groundPath(phase: Phase, fault: number | null): GroundPath {
  return { phase, fault, microsiemens: 0, x: 0, y: 0 };
}

export function addPath(own: GroundAdmittance, path: GroundPath): void {
  own[path.phase].g += path.microsiemens;
}
