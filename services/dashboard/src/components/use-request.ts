import { useState } from 'preact/hooks';
import { ApiFailure } from '../api/problem.ts';

export interface RequestState {
  readonly busy: boolean;
  readonly failure: ApiFailure | null;
  /** Runs one request; what the API refuses becomes `failure`, anything else is thrown. */
  readonly run: (request: () => Promise<void>) => void;
}

/** The state of a form's or a button's request. */
export function useRequest(): RequestState {
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<ApiFailure | null>(null);
  const attempt = async (request: () => Promise<void>): Promise<void> => {
    setBusy(true);
    setFailure(null);
    try {
      await request();
    } catch (error) {
      if (!(error instanceof ApiFailure)) throw error;
      setFailure(error);
    } finally {
      setBusy(false);
    }
  };
  return { busy, failure, run: (request) => void attempt(request) };
}
