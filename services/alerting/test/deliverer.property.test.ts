import fc from 'fast-check';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { HandedOver } from '../src/channels/channel.ts';
import { BUSY, contactPoint, DOWN, delivererHouse, newMessage, OK } from './deliverer-house.ts';

beforeEach(() => void vi.useFakeTimers({ now: Date.UTC(2031, 4, 3, 2) }));
afterEach(() => void vi.useRealTimers());

const outcome: fc.Arbitrary<HandedOver> = fc.oneof(
  { weight: 4, arbitrary: fc.constant(DOWN) },
  { weight: 3, arbitrary: fc.constant(BUSY) },
  fc.record({
    outcome: fc.constant('failed' as const),
    reason: fc.constant('answered 429'),
    retryAfterMs: fc.integer({ min: 0, max: 900_000 }),
    isChannelDown: fc.boolean(),
  }),
  fc.constant(OK),
  fc.constant<HandedOver>({ outcome: 'refused', reason: 'answered 400' }),
  fc.constant<HandedOver>({ outcome: 'gone', reason: 'answered 410' }),
);

/** What happens from second to second: one try's outcome and how long it takes. */
const step = fc.record({ result: outcome, takesMs: fc.integer({ min: 0, max: 10_000 }) });

const arrival = fc.record({
  atMs: fc.integer({ min: 0, max: 120_000 }),
  id: fc.integer({ min: 0, max: 5 }),
  contact: fc.constantFrom('a', 'b', 'c'),
  lifeMs: fc.integer({ min: 1000, max: 600_000 }),
});

const TRY_MOST_MS = 10_000;
/** Between a message's expiry and the look that finds it. */
const SLACK_MS = 2500;

it('ends every message by its expiry, with never two tries of one at once', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(step, { minLength: 1, maxLength: 30 }),
      fc.array(arrival, { minLength: 1, maxLength: 25 }),
      fc.array(fc.boolean(), { maxLength: 20 }),
      async (steps, arrivals, writeFails) => {
        const house = delivererHouse();
        for (const id of ['a', 'b', 'c']) house.outbox.contacts.set(id, contactPoint(id));
        const fails = [...writeFails];
        house.outbox.failsWrite = () => fails.shift() ?? false;
        let tries = 0;
        house.webhook.answer = async () => {
          const { result, takesMs } = steps[tries++ % steps.length]!;
          await new Promise((resolve) => setTimeout(resolve, takesMs));
          return result;
        };
        const startMs = Date.now();
        house.deliverer.start();
        let revision = 0;
        for (const { atMs, id, contact, lifeMs } of [...arrivals].sort((x, y) => x.atMs - y.atMs)) {
          await vi.advanceTimersByTimeAsync(Math.max(0, startMs + atMs - Date.now()));
          revision += 1;
          const expiresAtMs = Date.now() + lifeMs;
          house.outbox.put(newMessage(`${contact}${id}`, contact, { revision, expiresAtMs }));
          house.deliverer.poke();
        }
        const lastMs = Math.max(...[...house.outbox.kept.values()].map((one) => one.expiresAtMs));
        const unwrittenMs = writeFails.length * 32_000;
        const untilMs = lastMs + TRY_MOST_MS + SLACK_MS + unwrittenMs;
        await vi.advanceTimersByTimeAsync(untilMs - Date.now());
        const states = [...house.outbox.kept.values()].map(({ state }) => state);
        expect(states).not.toContain('waiting');
        expect(house.webhook.twiceAtOnce).toEqual([]);
        for (const { id, atMs, revision: tried } of house.webhook.tries) {
          const message = house.outbox.kept.get(id)!;
          if (message.revision === tried) expect(atMs).toBeLessThan(message.expiresAtMs);
        }
        await house.deliverer.stop();
      },
    ),
    { numRuns: 60 },
  );
});
