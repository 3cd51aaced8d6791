import { readHealth } from '../api/client.ts';
import { ApiFailure } from '../api/problem.ts';
import { type HouseTrouble, houseTrouble } from '../words/house.ts';
import { createStore, type ReadableStore } from './store.ts';

/** A health is three small questions to the server: often enough for who looks at the screen. */
const READ_EVERY_MS = 20_000;

/** What is not well is said when it is so twice: a service that starts anew is away for seconds. */
const CONFIRM_AFTER_MS = 5_000;

const store = createStore<HouseTrouble | null>(null);
/** What does not work in Lineside itself, as last read; null when all does. */
export const houseTroubles: ReadableStore<HouseTrouble | null> = store;

/** Reads it again and again until the returned function is called. */
export function startHouseWatch(): () => void {
  let isEnded = false;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let wasUnwell = false;
  const look = async (): Promise<void> => {
    const found = await currentTrouble();
    if (isEnded) return;
    const isUnwell = found !== null;
    if (found !== undefined) {
      if (!isUnwell || wasUnwell) store.set(found);
      wasUnwell = isUnwell;
    }
    const isToConfirm = isUnwell && store.get() === null;
    timer = setTimeout(() => void look(), isToConfirm ? CONFIRM_AFTER_MS : READ_EVERY_MS);
  };
  void look();
  return () => {
    isEnded = true;
    clearTimeout(timer);
    store.set(null);
  };
}

/** Undefined when the server itself does not answer, of which the live state tells. */
async function currentTrouble(): Promise<HouseTrouble | null | undefined> {
  try {
    return houseTrouble(await readHealth());
  } catch (error) {
    if (error instanceof ApiFailure) return undefined;
    throw error;
  }
}
