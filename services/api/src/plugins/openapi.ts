import swagger from '@fastify/swagger';
import type { FastifyInstance } from 'fastify';
import { jsonSchemaTransform, jsonSchemaTransformObject } from 'fastify-type-provider-zod';
import { CSRF_HEADER } from '../auth/same-origin.ts';
import type { SessionCookie } from '../auth/session-cookie.ts';

const DESCRIPTION = [
  'Rooftop electrical units: readings, condition, alarms, service records.',
  'Lists are `{items, next}`, newest first unless said; `next` goes into `cursor` for what follows',
  'and stays valid while new items come in. Times are RFC 3339 in UTC; ranges are half open.',
  'Errors are problem details (RFC 9457).',
  `Requests of a session that change something need its token in \`${CSRF_HEADER}\`.`,
].join('\n');

const TAGS = [
  { name: 'units', description: 'Units, their readings and wettings' },
  { name: 'alarms', description: 'Alarms and what people do with them' },
  { name: 'holds', description: 'Maintenance, and units out of service' },
  { name: 'verdicts', description: 'Whether alarms were true' },
  { name: 'figures', description: 'How the alarm system does, beside what is published for it' },
  { name: 'pages', description: 'The page behind the link of a message, for whoever has the link' },
  { name: 'service', description: 'What was done at a unit' },
  { name: 'events', description: 'What happens, as it happens' },
  { name: 'quarantine', description: 'Messages that were refused' },
  { name: 'session', description: 'Sign-in of people' },
  { name: 'health', description: 'How the server does' },
];

/** Collects the routes that follow into an OpenAPI 3.1 document, from their zod schemas. */
export async function addOpenApi(app: FastifyInstance, cookie: SessionCookie): Promise<void> {
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: { title: 'Lineside', version: '1', description: DESCRIPTION },
      // The document is the same wherever it is served from.
      servers: [{ url: '/' }],
      tags: TAGS,
      security: [{ bearer: [] }, { session: [] }],
      components: {
        securitySchemes: {
          bearer: { type: 'http', scheme: 'bearer', description: 'A token of `token create`.' },
          session: { type: 'apiKey', in: 'cookie', name: cookie.name },
        },
      },
    },
    transform: jsonSchemaTransform,
    transformObject: (document) =>
      withoutUnused(withOptionalBodies(jsonSchemaTransformObject(document))),
  });
}

type OpenApiDocument = ReturnType<typeof jsonSchemaTransformObject>;

/** A body that may be null may be left out; the document would call it required. */
function withOptionalBodies(document: OpenApiDocument): OpenApiDocument {
  for (const path of Object.values(document.paths ?? {})) {
    const body = path?.post?.requestBody;
    if (body === undefined || !('content' in body)) continue;
    const content = body.content['application/json'];
    const schema = content?.schema;
    const either = schema !== undefined && 'anyOf' in schema ? schema.anyOf : undefined;
    const [one, other] = either ?? [];
    if (content === undefined || one === undefined || other === undefined) continue;
    if (!('type' in other) || String(other.type) !== 'null') continue;
    body.required = false;
    Object.assign(content, { schema: one });
  }
  return document;
}

/** Every schema exists as request and as answer; only those that something points to stay. */
function withoutUnused(document: OpenApiDocument): OpenApiDocument {
  if (!('components' in document) || document.components?.schemas === undefined) return document;
  const { schemas } = document.components;
  const unused = Object.keys(schemas).filter((name) => !pointsTo(document, name));
  for (const name of unused) delete schemas[name];
  // Those that only they pointed to are unused now.
  return unused.length === 0 ? document : withoutUnused(document);
}

function pointsTo(document: OpenApiDocument, schema: string): boolean {
  return JSON.stringify(document).includes(`"#/components/schemas/${schema}"`);
}
