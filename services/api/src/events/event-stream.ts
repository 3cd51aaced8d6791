import type { FastifyReply } from 'fastify';
import type { Principal } from '../auth/principal.ts';
import { ApiError } from '../errors/api-error.ts';
import type { EventHub } from './event-hub.ts';
import type { EventListener } from './event-listener.ts';

/** Comments that keep proxies from closing a quiet stream, and tell us of broken ones. */
const HEARTBEAT_MS = 15_000;
/** How long a browser waits before it connects again. */
const RETRY_MS = 3_000;

export interface StreamRequest {
  readonly principal: Principal;
  readonly reply: FastifyReply;
  readonly lastEventId: string | null;
  /** Asks again who the caller is: a stream must not outlive its token or session. */
  readonly stillAllowed: () => Promise<Principal | null>;
}

/** Turns the answer into an event stream that lasts until either side ends it. */
export function startStream(hub: EventHub, request: StreamRequest): void {
  const { reply, principal } = request;
  reply.hijack();
  const { raw } = reply;
  for (const [name, value] of Object.entries(reply.getHeaders())) {
    if (value !== undefined) raw.setHeader(name, value);
  }
  raw.writeHead(200, {
    'content-type': 'text/event-stream; charset=utf-8',
    'cache-control': 'no-store',
    // Some proxies hold answers back to send them in larger pieces.
    'x-accel-buffering': 'no',
  });
  raw.socket?.setNoDelay(true);
  raw.write(`retry: ${RETRY_MS}\n\n`);
  const sink = { write: (text: string) => raw.write(text), end: () => raw.end() };
  const listener = hub.join(principal, sink, request.lastEventId);
  const heartbeat = setInterval(() => void beat(listener, request), HEARTBEAT_MS);
  heartbeat.unref();
  raw.on('drain', () => hub.drained(listener));
  raw.on('error', () => raw.destroy());
  raw.on('close', () => {
    clearInterval(heartbeat);
    hub.leave(listener);
  });
}

async function beat(listener: EventListener, request: StreamRequest): Promise<void> {
  listener.heartbeat();
  try {
    const now = await request.stillAllowed();
    if (now === null || !hasSameRights(now, request.principal)) listener.end();
  } catch (error) {
    // A store that does not answer says nothing about rights.
    if (error instanceof ApiError) listener.end();
  }
}

function hasSameRights(one: Principal, other: Principal): boolean {
  const sites = (principal: Principal): string => JSON.stringify(principal.sites);
  return one.role === other.role && sites(one) === sites(other);
}
