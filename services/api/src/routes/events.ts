import { z } from 'zod';
import type { Authenticator } from '../auth/authenticator.ts';
import { principalOf } from '../auth/gate.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { EventHub } from '../events/event-hub.ts';
import { startStream } from '../events/event-stream.ts';
import { EVENT_DATA } from '../schemas/events.ts';
import { problems } from '../schemas/problem-answers.ts';
import type { Api } from './api.ts';

const ONE_SECOND_MS = 1000;

const DESCRIPTION = [
  'Events `reading` (data: ReadingEvent), `condition` (ConditionEvent) and `alarm` (Alarm), each',
  'with an id. A stream that is taken up again with Last-Event-ID misses no alarm, and no other',
  'event that is still remembered. When more comes than a listener takes, readings and conditions',
  'are sent as the newest a unit and second; alarms are always all sent.',
].join('\n');

export function eventRoutes(
  app: Api,
  dependencies: ApiDependencies,
  authenticator: Authenticator,
): void {
  const hub = hubFor(app, dependencies);
  app.get(
    '/api/events',
    {
      config: { stream: true },
      exposeHeadRoute: false,
      schema: {
        operationId: 'listenToEvents',
        summary: 'Server-sent events',
        description: DESCRIPTION,
        tags: ['events'],
        'x-events': EVENT_DATA,
        headers: z.looseObject({
          'last-event-id': z.string().optional().describe('Id of the last event that arrived.'),
        }),
        response: {
          200: {
            description: 'A stream that does not end by itself.',
            content: { 'text/event-stream': { schema: z.string() } },
          },
          ...problems(401),
        },
      },
    },
    async (request, reply) => {
      const principal = principalOf(request);
      await hub.admit(principal);
      startStream(hub, {
        principal,
        reply,
        lastEventId: request.headers['last-event-id'] ?? null,
        stillAllowed: () => authenticator.principal(request),
      });
      return reply;
    },
  );
}

function hubFor(app: Api, dependencies: ApiDependencies): EventHub {
  const hub = new EventHub(dependencies);
  const timer = setInterval(() => hub.nextSecond(), ONE_SECOND_MS);
  timer.unref();
  app.addHook('preClose', async () => {
    clearInterval(timer);
    hub.close();
  });
  return hub;
}
