/** A phase that is gone, and what stands between it and the unit. */
export interface LostPhase {
  /** The phase that carries nothing; behind a transformer the one that carries twice the others. */
  readonly phase: 'a' | 'b' | 'c';
  readonly through: 'direct' | 'transformer';
}

/** What one kind of channel says of the phases: one is lost, all are well, or nothing. */
export type PhaseVerdict = LostPhase | 'well' | null;

type ByPhase = { readonly [phase in 'a' | 'b' | 'c']: LostPhase };

function byPhase(through: LostPhase['through']): ByPhase {
  return {
    a: { phase: 'a', through },
    b: { phase: 'b', through },
    c: { phase: 'c', through },
  };
}

export const LOST: { readonly [through in LostPhase['through']]: ByPhase } = {
  direct: byPhase('direct'),
  transformer: byPhase('transformer'),
};
