import { readOnCall } from '../api/client.ts';
import { ApiFailure } from '../api/problem.ts';
import type { OnCall } from '../api/types.ts';
import { sessionEnded } from './session.ts';
import { createStore, type ReadableStore } from './store.ts';

export interface OnCallState {
  readonly onCall: OnCall | null;
  readonly failure: ApiFailure | null;
}

const store = createStore<OnCallState>({ onCall: null, failure: null });

/** Who is on call, as last read. */
export const onCallState: ReadableStore<OnCallState> = store;

/** Hand-overs and covers change it at any minute. */
export const ON_CALL_READ_EVERY_MS = 60_000;

/** Reads it anew; a failure keeps what is there and says so. */
export async function loadOnCall(): Promise<void> {
  try {
    store.set({ onCall: await readOnCall(), failure: null });
  } catch (error) {
    if (!(error instanceof ApiFailure)) throw error;
    if (error.status === 401) sessionEnded();
    else store.set({ ...store.get(), failure: error });
  }
}
