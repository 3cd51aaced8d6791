import type { FindingChange } from '../vocabulary.ts';

/** What a detector returns: its slice of the watch's state, and what has changed. */
export interface DetectorStep<Slice> {
  readonly slice: Slice;
  readonly changes: readonly FindingChange[];
}

export const NO_CHANGES: readonly FindingChange[] = [];
