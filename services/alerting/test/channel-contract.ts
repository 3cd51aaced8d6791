import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { HandedOver } from '../src/channels/channel.ts';
import { type Counterpart, SHORT_TRY_MS, TRY_MS } from './counterparts/counterpart.ts';
import { sampleMessage } from './sample-message.ts';

/** Room for a busy machine; far below what a missing time-out would take. */
const AT_MOST_MS = SHORT_TRY_MS + 2500;

const HOSTILE = [
  'RTU "3" </script><script>alert(1)</script>',
  "O'Hara & sons\r\nBcc: all@example.net\r\n\r\nnow",
  'pier \u202Egnp.exe\u2066 nine\u0000\u0007\u001B[31m',
  'half \uD83D of a pair, a whole 🏭',
  '=?utf-8?q?not_encoded?= %s {{x}} \u2028 line',
];

/** What each channel keeps to, against its real counterpart on loopback. */
export function describeChannel(
  name: string,
  start: (timeoutMs: number) => Promise<Counterpart>,
): void {
  describe(`the ${name} channel`, () => {
    let other: Counterpart;
    beforeEach(async () => {
      other = await start(TRY_MS);
    });
    afterEach(async () => {
      await other.channel.close();
      await other.close();
    });

    const handOver = (changes = {}): Promise<HandedOver> =>
      other.channel.handOver(other.address, sampleMessage(changes));

    it('hands over a page that the other side reads and verifies', async () => {
      expect(await handOver()).toEqual({ outcome: 'handed-over' });
      const { title, body, url } = sampleMessage();
      expect(other.received).toMatchObject([{ title, body, url }]);
    });

    it('keeps one key for all tries of a revision, and one for all revisions of a page', async () => {
      await handOver();
      await handOver();
      await handOver({ revision: 2 });
      const [first, again, second] = other.received;
      expect(again?.tryKey).toBe(first?.tryKey);
      expect(second?.tryKey).not.toBe(first?.tryKey);
      expect(new Set(other.received.map(({ pageKey }) => pageKey)).size).toBe(1);
      expect(first?.pageKey).not.toBe('');
    });

    it('ends in time when nobody answers', async () => {
      const slow = await start(SHORT_TRY_MS);
      slow.answer('hangs');
      const startedAt = performance.now();
      const result = await slow.channel.handOver(slow.address, sampleMessage());
      expect(performance.now() - startedAt).toBeLessThan(AT_MOST_MS);
      expect(result).toMatchObject({ outcome: 'failed', isChannelDown: true, retryAfterMs: null });
      await slow.channel.close();
      await slow.close();
    });

    it('fails for now when the other side is busy, and says how long it asks to wait', async () => {
      other.answer('is-busy');
      expect(await handOver()).toMatchObject({
        outcome: 'failed',
        isChannelDown: false,
        retryAfterMs: other.busyForMs,
      });
    });

    it('fails for now when the other side is broken', async () => {
      other.answer('is-broken');
      const result = await handOver();
      expect(result).toMatchObject({ outcome: 'failed', isChannelDown: false, retryAfterMs: null });
    });

    it('says that the channel is down when nobody listens', async () => {
      await other.goDown();
      expect(await handOver()).toMatchObject({ outcome: 'failed', isChannelDown: true });
    });

    it('gives up what is refused for good, and names no secret', async () => {
      other.answer('refuses');
      const result = await handOver();
      expect(result.outcome).toBe('refused');
      for (const secret of other.secrets) expect(JSON.stringify(result)).not.toContain(secret);
    });

    it('tells a contact point that is gone, where the protocol knows that', async () => {
      other.answer('says-gone');
      const { outcome } = await handOver();
      expect(outcome).toBe(other.knowsGone ? 'gone' : 'handed-over');
    });

    it.each(HOSTILE)('carries hostile words without harm: %j', async (words) => {
      const result = await handOver({ title: words, body: words, lines: [words, words] });
      expect(result).toEqual({ outcome: 'handed-over' });
      const [read] = other.received;
      expect(read?.title).not.toMatch(/[\p{Cc}\u2028\u202A-\u202E\u2066-\u2069\p{Surrogate}]/u);
      expect(read?.body).not.toMatch(
        /(?!\n)[\p{Cc}\u2028\u202A-\u202E\u2066-\u2069\p{Surrogate}]/u,
      );
      const letters = (text = ''): string => text.replace(/[^A-Za-z<>"'&$%{}🏭]/gu, '');
      expect(letters(read?.title)).toBe(letters(words));
      expect(other.received).toHaveLength(1);
    });

    it('carries words that are far too long in a size that is taken', async () => {
      const result = await handOver({
        title: '🏭"'.repeat(2000),
        body: 'ä\\'.repeat(20_000),
        lines: Array.from({ length: 2000 }, (_, index) => `RTU ${index} ${'z'.repeat(90)}`),
      });
      expect(result).toEqual({ outcome: 'handed-over' });
      expect(other.received[0]?.title).toMatch(/^(🏭")+🏭?…$/u);
      expect(other.received[0]?.body).toMatch(/^(ä\\)+ä?…$/);
    });

    it('carries a page without a link', async () => {
      expect(await handOver({ url: null })).toEqual({ outcome: 'handed-over' });
      expect(other.received[0]?.url).toBeNull();
    });

    it('refuses any stored address that is none, without an error', async () => {
      await fc.assert(
        fc.asyncProperty(fc.jsonValue(), async (address) => {
          const result = await other.channel.handOver(address, sampleMessage());
          expect(result).toMatchObject({
            outcome: 'refused',
            reason: expect.stringContaining('address is wrong'),
          });
        }),
        { numRuns: 200 },
      );
    });

    it('hands over many at once', async () => {
      const pages = Array.from({ length: 20 }, (_, index) => handOver({ revision: index + 1 }));
      const results = await Promise.all(pages);
      expect(results).toEqual(results.map(() => ({ outcome: 'handed-over' })));
      expect(new Set(other.received.map(({ tryKey }) => tryKey)).size).toBe(20);
    });

    it('ends a try that is under way when it closes, and closes twice', async () => {
      other.answer('hangs');
      const underWay = handOver();
      await other.channel.close();
      await other.channel.close();
      expect(await underWay).toMatchObject({ outcome: 'failed' });
    });
  });
}
