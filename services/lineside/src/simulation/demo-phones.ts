import { randomBytes } from 'node:crypto';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { z } from 'zod';

/** Far above a page, which has 20,000 bytes at most. */
const BODY_MOST_BYTES = 65_536;

/** What a phone shows of a page; the rest is for gateways. */
const bodySchema = z.object({
  data: z.object({ title: z.string(), body: z.string(), url: z.string().nullable() }),
});

/** A receiver on loopback that stands for the phones of the demonstration. */
export interface DemoPhones {
  /** Address of one person's phone. */
  urlOf(person: string): string;
  /** `whsec_` and base64: what pages are signed with, new at each start. */
  readonly secret: string;
  close(): Promise<void>;
}

/** @param print gets each page as a phone would show it, repeats of a page included. */
export async function startDemoPhones(print: (words: string) => void): Promise<DemoPhones> {
  const server = createServer((request, response) => {
    receive(request, response, print).catch(() => response.destroy());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  server.unref();
  const { port } = server.address() as AddressInfo;
  return {
    urlOf: (person) => `http://127.0.0.1:${port}/${encodeURIComponent(person)}`,
    secret: `whsec_${randomBytes(24).toString('base64')}`,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

async function receive(
  request: IncomingMessage,
  response: ServerResponse,
  print: (words: string) => void,
): Promise<void> {
  const parts: Buffer[] = [];
  let bytes = 0;
  for await (const part of request) {
    bytes += part.length;
    if (bytes > BODY_MOST_BYTES) throw new Error('the page is too long');
    parts.push(part);
  }
  const page = bodySchema.safeParse(JSON.parse(Buffer.concat(parts).toString('utf8')));
  response.statusCode = page.success ? 204 : 400;
  response.end();
  if (!page.success) return;
  const person = decodeURIComponent((request.url ?? '/').slice(1));
  print(phoneWords(person, page.data.data));
}

function phoneWords(
  person: string,
  { title, body, url }: z.infer<typeof bodySchema>['data'],
): string {
  const lines = [title, body, ...(url === null ? [] : [url])];
  return `\n  page for ${person}\n${lines.map((line) => `  | ${line}\n`).join('')}\n`;
}
