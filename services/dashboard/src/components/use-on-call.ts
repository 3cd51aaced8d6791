import { useEffect } from 'preact/hooks';
import {
  loadOnCall,
  ON_CALL_READ_EVERY_MS,
  type OnCallState,
  onCallState,
} from '../state/on-call.ts';
import { useStore } from '../state/store.ts';

/** Who is on call, read at once and every minute while it is shown. */
export function useOnCall(): OnCallState {
  useEffect(() => {
    void loadOnCall();
    const again = setInterval(() => void loadOnCall(), ON_CALL_READ_EVERY_MS);
    return () => clearInterval(again);
  }, []);
  return useStore(onCallState);
}
