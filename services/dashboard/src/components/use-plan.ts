import { useEffect, useState } from 'preact/hooks';
import { comingShifts, readRota } from '../api/on-call-client.ts';
import type { ApiFailure } from '../api/problem.ts';
import type { Rota, Shift } from '../api/types.ts';
import { useRequest } from './use-request.ts';

/** Who comes when, and what was arranged. */
interface Plan {
  readonly shifts: readonly Shift[];
  /** Null for viewers. */
  readonly rota: Rota | null;
}

export interface PlanState {
  /** Null until it is read. */
  readonly plan: Plan | null;
  readonly failure: ApiFailure | null;
  /** Reads it anew. */
  readonly read: () => void;
}

/** The coming six weeks, and for whoever may arrange cover the rota itself. */
export function usePlan(mayArrange: boolean): PlanState {
  const [plan, setPlan] = useState<Plan | null>(null);
  const { failure, run } = useRequest();
  const read = (): void =>
    run(async () => {
      const [shifts, rota] = await Promise.all([comingShifts(), mayArrange ? readRota() : null]);
      setPlan({ shifts, rota });
    });
  useEffect(read, []);
  return { plan, failure, read };
}
