import helmet from '@fastify/helmet';
import type { FastifyInstance } from 'fastify';

/**
 * What a browser may load for our page: its own files and nothing else. Charts set styles through
 * the DOM, which the policy does not concern.
 */
const CONTENT_SECURITY_POLICY = {
  'default-src': ["'self'"],
  'script-src': ["'self'"],
  'style-src': ["'self'"],
  'img-src': ["'self'", 'data:'],
  'connect-src': ["'self'"],
  'font-src': ["'self'"],
  'object-src': ["'none'"],
  'base-uri': ["'none'"],
  'form-action': ["'self'"],
  'frame-ancestors': ["'none'"],
  'manifest-src': ["'self'"],
  'worker-src': ["'self'"],
};

export async function addSecurityHeaders(app: FastifyInstance, publicUrl: string): Promise<void> {
  await app.register(helmet, {
    contentSecurityPolicy: { useDefaults: false, directives: CONTENT_SECURITY_POLICY },
    // On plain HTTP the promise could not be kept.
    strictTransportSecurity: publicUrl.startsWith('https:'),
    referrerPolicy: { policy: 'no-referrer' },
    frameguard: { action: 'deny' },
    // Nothing here is embedded from elsewhere.
    crossOriginEmbedderPolicy: false,
    // It would warn in every browser on plain HTTP other than loopback.
    crossOriginOpenerPolicy: publicUrl.startsWith('https:') ? { policy: 'same-origin' } : false,
    originAgentCluster: false,
  });
}
