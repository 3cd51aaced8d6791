import type { FastifyInstance } from 'fastify';
import { Histogram, type Registry } from 'prom-client';

/** From a lookup to the slowest chart that anyone would wait for, in seconds. */
const BUCKETS_SECONDS = [0.002, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10];

/** Measures requests by route template, so that addresses do not become labels. */
export function addRequestMetrics(app: FastifyInstance, registry: Registry): void {
  const duration = new Histogram({
    name: 'lineside_http_request_seconds',
    help: 'Time from request to answer by method, route and status. Worry about 5xx, and above 2.5 s.',
    labelNames: ['method', 'route', 'status'],
    buckets: BUCKETS_SECONDS,
    registers: [registry],
  });
  app.addHook('onResponse', async (request, reply) => {
    // An event stream lasts as long as its page is open.
    if (request.routeOptions.config.stream === true) return;
    const route = request.routeOptions.url ?? 'none';
    const labels = { method: request.method, route, status: String(reply.statusCode) };
    duration.observe(labels, reply.elapsedTime / 1000);
  });
}

declare module 'fastify' {
  interface FastifyContextConfig {
    /** The answer goes on as long as the caller listens. */
    stream?: boolean;
  }
}
