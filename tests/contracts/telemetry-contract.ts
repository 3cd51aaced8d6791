import { describe } from 'vitest';
import { telemetryAppendContract } from './telemetry-contract-append.ts';
import { telemetryQueryContract } from './telemetry-contract-queries.ts';
import type { MakePlace } from './telemetry-place.ts';

/**
 * The suite that every telemetry store passes. It knows the port only: an adapter gives it empty
 * places to work in, and says in `lacks` what it cannot do.
 */
export function telemetryContract(name: string, make: MakePlace): void {
  describe(`telemetry contract: ${name}`, () => {
    telemetryAppendContract(make);
    telemetryQueryContract(make);
  });
}
