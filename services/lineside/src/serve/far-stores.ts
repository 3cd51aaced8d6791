import type { PartHealth } from '@lineside/api';
import type { Fleet } from '@lineside/fleet';
import { storedConditions } from '@lineside/ingest';
import { down, WELL } from '../house/house-line.ts';
import type { FarStores } from '../house/mqtt/far-ingest.ts';
import type { OpenedHouse } from './opened-house.ts';

export interface FleetToRead {
  readonly now: () => Fleet;
  readonly refresh: () => Promise<void>;
}

/** Where a process without ingest reads what it did not hear of it. */
export function farStores(
  house: Pick<OpenedHouse, 'records' | 'telemetry'>,
  fleet: FleetToRead,
  hasConditions: boolean,
): FarStores {
  const { records } = house;
  return {
    readings: async () => (await house.telemetry()).latest(),
    conditions: hasConditions
      ? async () => {
          await fleet.refresh();
          return storedConditions(await records.checkpoints(), fleet.now());
        }
      : null,
    records: async (): Promise<PartHealth> => {
      try {
        await records.journalEnd();
        return WELL;
      } catch (error) {
        return down(error instanceof Error ? error.message : String(error));
      }
    },
  };
}
