import type { FastifyReply, FastifyRequest } from 'fastify';
import { hashSecret, newSecret } from '../auth/secrets.ts';

/** Outlasts every link, so that a device that answered still has its buttons. */
const KEPT_FOR_SECONDS = 30 * 24 * 60 * 60;

/** What `newSecret` makes. */
const SECRET = /^[A-Za-z0-9_-]{43}$/;

const PATH = '/api/pages';

/**
 * Knows a device again by a secret in a cookie that only pages get.
 *
 * Reading a page gives the secret and keeps nothing of it here: the link is bound when a button is
 * pressed. Were it given with the answer to the button, a device that never heard that answer would
 * be locked out by its own press.
 */
export class PageDevice {
  readonly #name: string;
  readonly #secure: boolean;

  /** @param publicUrl decides on Secure: a browser keeps no Secure cookie from plain HTTP. */
  constructor(publicUrl: string) {
    this.#secure = publicUrl.startsWith('https:');
    // The prefix makes the browser refuse a cookie that came over plain HTTP.
    this.#name = this.#secure ? '__Secure-lineside-page' : 'lineside-page';
  }

  /** The hash of the device's secret; null for a device that has none. */
  hashOf(request: FastifyRequest): string | null {
    const secret = request.cookies[this.#name];
    return secret !== undefined && SECRET.test(secret) ? hashSecret(secret) : null;
  }

  /** The hash of the device's secret; it is given one if it has none. */
  introduce(request: FastifyRequest, reply: FastifyReply): string {
    const known = this.hashOf(request);
    if (known !== null) return known;
    const secret = newSecret();
    reply.setCookie(this.#name, secret, {
      path: PATH,
      httpOnly: true,
      sameSite: 'strict',
      secure: this.#secure,
      maxAge: KEPT_FOR_SECONDS,
    });
    return hashSecret(secret);
  }
}
