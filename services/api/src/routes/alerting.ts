import { rfc3339 } from '@lineside/alarms';
import type { ChannelKind, OutboxMessage } from '@lineside/storage';
import { principalOf } from '../auth/gate.ts';
import { TokenBuckets } from '../auth/token-bucket.ts';
import type { ApiDependencies, SentTest } from '../dependencies.ts';
import { ApiError } from '../errors/api-error.ts';
import { type AlertingJson, alertingSchema, testPageSchema } from '../schemas/alerting.ts';
import { problems } from '../schemas/problem-answers.ts';
import type { Api } from './api.ts';
import type { ContactOwner } from './contact-points.ts';

/** Somebody who tries a phone tries it a few times; nobody needs one every second. */
const TEST_RATE = { perSecond: 1 / 30, burst: 4 };
/** Messages that are counted; more are said to be more. */
const COUNT_MOST = 1000;
const NEWEST_MESSAGES = 100;
/** Later than any message is due. */
const FAR_AHEAD_MS: number = 366 * 86_400_000;

const CHANNEL_WORDS: Readonly<Record<ChannelKind, string>> = {
  'web-push': 'push',
  'e-mail': 'e-mail',
  webhook: 'message gateway',
};

const ACTORS = { roles: ['office', 'technician'] } as const;

export function alertingRoutes(
  app: Api,
  dependencies: ApiDependencies,
  ownerOf: ContactOwner,
): void {
  app.get(
    '/api/alerting',
    {
      config: ACTORS,
      schema: {
        operationId: 'readAlerting',
        summary: 'Whether pages get through: last reading, last page handed over, what waits',
        tags: ['on call'],
        response: { 200: alertingSchema, ...problems(401, 403) },
      },
    },
    async () => alertingJson(dependencies),
  );
  testPageRoute(app, dependencies, ownerOf);
}

function testPageRoute(
  app: Api,
  { alerting, clock }: ApiDependencies,
  ownerOf: ContactOwner,
): void {
  const rate = new TokenBuckets(TEST_RATE);
  app.post(
    '/api/test-page',
    {
      config: ACTORS,
      schema: {
        operationId: 'sendTestPage',
        summary: 'Send a test page to all contact points of your own',
        tags: ['on call'],
        security: [{ session: [] }],
        response: { 202: testPageSchema, ...problems(401, 403, 409) },
      },
    },
    async (request, reply) => {
      const person = await ownerOf(request);
      const waitMs = rate.take(principalOf(request).key, clock());
      if (waitMs > 0) {
        throw new ApiError('API_TOO_MANY_REQUESTS', 'Test pages were sent a moment ago.', {
          retryAfterSeconds: Math.ceil(waitMs / 1000),
        });
      }
      const sent = await alerting.sendTest(person);
      if (sent.length === 0) {
        const words = 'There is nothing yet to page you on: let this device be paged first.';
        throw new ApiError('API_CONFLICT', words);
      }
      return reply.code(202).send({ sent, words: testWords(sent) });
    },
  );
}

function testWords(sent: readonly SentTest[]): string {
  const to = sent.map(({ name, channel }) => `${name} (${CHANNEL_WORDS[channel]})`).join(', ');
  return `A page that says it is a test is on its way to ${to}.`;
}

async function alertingJson(dependencies: ApiDependencies): Promise<AlertingJson> {
  const { records, clock } = dependencies;
  const nowMs = clock();
  const [handedOver, waiting, newest] = await Promise.all([
    records.lastHandedOver(),
    records.messagesDue(nowMs + FAR_AHEAD_MS, COUNT_MOST),
    records.messages({ limit: NEWEST_MESSAGES, cursor: null }),
  ]);
  const oldestMs = waiting.reduce((least, one) => Math.min(least, one.createdAtMs), Infinity);
  return {
    at: rfc3339(nowMs),
    lastReading: lastReading(dependencies),
    handedOver: handedOver.map(({ channel, atMs }) => ({ channel, at: rfc3339(atMs) })),
    waiting: {
      messages: waiting.length,
      isMore: waiting.length === COUNT_MOST,
      oldest: waiting.length === 0 ? null : rfc3339(oldestMs),
    },
    failure: failureOf(newest.items),
  };
}

function lastReading({ fleet, live }: ApiDependencies): string | null {
  let newestMs = Number.NEGATIVE_INFINITY;
  for (const { site, id } of fleet().units) {
    const reading = live.latest(site, id);
    if (reading !== null && reading.atMs > newestMs) newestMs = reading.atMs;
  }
  return Number.isFinite(newestMs) ? rfc3339(newestMs) : null;
}

function failureOf(newest: readonly OutboxMessage[]): AlertingJson['failure'] {
  const failed = newest.find(({ failure, state }) => failure !== null && state !== 'handed-over');
  if (failed === undefined || failed.failure === null) return null;
  return {
    at: rfc3339(failed.createdAtMs),
    channel: failed.channel,
    givenUp: failed.state === 'given-up',
    reason: failed.failure,
  };
}
