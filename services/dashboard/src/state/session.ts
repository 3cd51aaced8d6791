import { endSession, readSession, startSession } from '../api/client.ts';
import { ApiFailure } from '../api/problem.ts';
import type { Role, Session } from '../api/types.ts';
import { createStore, type ReadableStore } from './store.ts';

export type SessionState =
  | { readonly state: 'asking' }
  | { readonly state: 'signed-out' }
  | { readonly state: 'unreachable'; readonly failure: ApiFailure }
  | { readonly state: 'signed-in'; readonly session: Session };

const store = createStore<SessionState>({ state: 'asking' });

export const sessionState: ReadableStore<SessionState> = store;

/** Asks the server who we are; to be called once at the start and after being refused. */
export async function resumeSession(): Promise<void> {
  try {
    store.set({ state: 'signed-in', session: await readSession() });
  } catch (error) {
    if (!(error instanceof ApiFailure)) throw error;
    store.set(
      error.status === 401 ? { state: 'signed-out' } : { state: 'unreachable', failure: error },
    );
  }
}

export async function signIn(username: string, password: string): Promise<void> {
  enter(await startSession(username, password));
}

/** To be called with the session that an accepted invitation gives. */
export function enter(session: Session): void {
  store.set({ state: 'signed-in', session });
}

export async function signOut(): Promise<void> {
  await endSession();
  store.set({ state: 'signed-out' });
}

/** To be called when any request is answered with 401: the session has ended elsewhere. */
export function sessionEnded(): void {
  if (store.get().state === 'signed-in') store.set({ state: 'signed-out' });
}

/** Whether the signed-in person may acknowledge and record, not only read. */
export function mayAct(state: SessionState): boolean {
  const acting: readonly Role[] = ['office', 'technician'];
  return state.state === 'signed-in' && acting.includes(state.session.person.role);
}
