import type { FastifyReply, FastifyRequest } from 'fastify';
import { SESSION_LONGEST_MS } from './sessions.ts';

/** Where the browser keeps a session's secret. */
export class SessionCookie {
  readonly #name: string;
  readonly #secure: boolean;

  /** @param publicUrl decides on Secure: a browser keeps no Secure cookie from plain HTTP. */
  constructor(publicUrl: string) {
    this.#secure = publicUrl.startsWith('https:');
    // The prefix makes the browser refuse a cookie that another host or path has planted.
    this.#name = this.#secure ? '__Host-lineside' : 'lineside';
  }

  get name(): string {
    return this.#name;
  }

  read(request: FastifyRequest): string | null {
    return request.cookies[this.#name] ?? null;
  }

  write(reply: FastifyReply, secret: string): void {
    reply.setCookie(this.#name, secret, {
      ...this.#attributes(),
      maxAge: SESSION_LONGEST_MS / 1000,
    });
  }

  clear(reply: FastifyReply): void {
    reply.clearCookie(this.#name, this.#attributes());
  }

  #attributes(): { path: string; httpOnly: true; sameSite: 'strict'; secure: boolean } {
    // Strict holds for links from outside too: the page itself needs no cookie, and what it then
    // asks for comes from this site.
    return { path: '/', httpOnly: true, sameSite: 'strict', secure: this.#secure };
  }
}
