import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { StoredReadings } from '../src/replay/stored-readings.ts';
import { MemoryTelemetry } from './stand-ins/memory-telemetry.ts';

const REF = { site: 'harbour-mall', unit: 'rtu-01' };

describe('stored readings', () => {
  it('come out once each and in order, whatever the page boundaries and windows', async () => {
    const times = fc.uniqueArray(fc.nat(20_000), { maxLength: 4_500 });
    await fc.assert(
      fc.asyncProperty(times, fc.integer({ min: 500, max: 9_000 }), async (all, window) => {
        const telemetry = new MemoryTelemetry();
        await telemetry.append(all.map((atMs) => ({ ...REF, atMs, channels: { t: 1 } })));
        const stored = new StoredReadings(telemetry, REF, 100);
        const seen: number[] = [];
        for (let at = await stored.nextAtMs(); at !== null; at = await stored.nextAtMs()) {
          const end = at + window;
          for (;;) {
            const page = await stored.takeBefore(end);
            if (page.length === 0) {
              break;
            }
            expect(page.every(({ atMs }) => atMs < end)).toBe(true);
            seen.push(...page.map(({ atMs }) => atMs));
          }
        }
        expect(seen).toEqual(all.filter((at) => at >= 100).sort((a, b) => a - b));
      }),
      { numRuns: 20 },
    );
  });
});
