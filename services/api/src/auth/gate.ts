import type { Role } from '@lineside/storage';
import type { FastifyRequest } from 'fastify';
import { ApiError } from '../errors/api-error.ts';
import type { Api } from '../routes/api.ts';
import { type Authenticator, notSignedIn } from './authenticator.ts';
import type { Principal } from './principal.ts';
import type { RequestRate } from './request-rate.ts';
import { checkCsrfToken, checkOrigin } from './same-origin.ts';

declare module 'fastify' {
  interface FastifyRequest {
    /** Who asks; null on routes that are open. */
    principal: Principal | null;
  }
  interface FastifyContextConfig {
    /** Open routes need no sign-in; everything else does. */
    open?: boolean;
    /** Only these roles; absent: all. */
    roles?: readonly Role[];
  }
}

export interface GateParts {
  readonly authenticator: Authenticator;
  readonly rate: RequestRate;
  readonly publicUrl: string;
}

/** Lets a request of the routes in `app` through to its handler, or refuses it before its body is read. */
export function addGate(app: Api, parts: GateParts): void {
  app.decorateRequest('principal', null);
  app.addHook('onRequest', async (request) => {
    checkOrigin(request, parts.publicUrl);
    const { open, roles } = request.routeOptions.config;
    if (open === true) {
      parts.rate.open(request.ip);
      return;
    }
    const principal = await recognise(request, parts);
    parts.rate.principal(principal.key);
    checkCsrfToken(request, principal);
    if (roles !== undefined && !roles.includes(principal.role)) {
      throw new ApiError('API_FORBIDDEN', `This is for the role ${roles.join(' or ')}.`);
    }
    request.principal = principal;
  });
}

async function recognise(request: FastifyRequest, parts: GateParts): Promise<Principal> {
  try {
    const principal = await parts.authenticator.principal(request);
    if (principal !== null) return principal;
  } catch (error) {
    if (error instanceof ApiError) parts.rate.refused(request.ip);
    throw error;
  }
  throw notSignedIn();
}

/** Who makes a request that went through the gate. */
export function principalOf(request: FastifyRequest): Principal {
  if (request.principal === null) throw notSignedIn();
  return request.principal;
}
