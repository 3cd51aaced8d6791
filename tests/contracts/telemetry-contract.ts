import { describe, vi } from 'vitest';
import { telemetryAppendContract } from './telemetry-contract-append.ts';
import { telemetryQueryContract } from './telemetry-contract-queries.ts';
import type { MakePlace } from './telemetry-place.ts';

/** Places may start threads or talk to servers, on a machine that is busy with other tests. */
const TIMEOUT_MS = 180_000;

/**
 * The suite that every telemetry store passes. It knows the port only: an adapter gives it empty
 * places to work in, and says in `lacks` what it cannot do.
 */
export function telemetryContract(name: string, make: MakePlace): void {
  vi.setConfig({ testTimeout: TIMEOUT_MS, hookTimeout: TIMEOUT_MS });
  describe(`telemetry contract: ${name}`, () => {
    telemetryAppendContract(make);
    telemetryQueryContract(make);
  });
}
