import { useEffect, useState } from 'preact/hooks';
import { serviceRecords } from '../api/client.ts';
import { ApiFailure } from '../api/problem.ts';
import type { ServiceRecord } from '../api/types.ts';

export interface ServiceRecordsState {
  readonly records: readonly ServiceRecord[];
  readonly failure: ApiFailure | null;
  readonly readAnew: () => void;
}

const NONE: readonly ServiceRecord[] = [];

/** The newest service records of one unit. */
export function useServiceRecords(site: string, unit: string): ServiceRecordsState {
  const [records, setRecords] = useState(NONE);
  const [failure, setFailure] = useState<ApiFailure | null>(null);
  const [round, setRound] = useState(0);
  // `round` asks for another reading.
  useEffect(() => {
    let wanted = true;
    serviceRecords(site, unit).then(
      (items) => {
        if (!wanted) return;
        setRecords(items);
        setFailure(null);
      },
      (error: unknown) => {
        if (wanted && error instanceof ApiFailure) setFailure(error);
      },
    );
    return () => {
      wanted = false;
    };
  }, [site, unit, round]);
  return { records, failure, readAnew: () => setRound((before) => before + 1) };
}
