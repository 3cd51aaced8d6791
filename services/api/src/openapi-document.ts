import { pino } from 'pino';
import { Registry } from 'prom-client';
import { buildApi } from './build-api.ts';
import type { ApiDependencies } from './dependencies.ts';

/** The OpenAPI document as text, with a line break at its end. Nothing is opened for it. */
export async function openApiDocument(): Promise<string> {
  const app = await buildApi(nothingBehind());
  await app.ready();
  const document = app.swagger();
  await app.close();
  return `${JSON.stringify(document, null, 2)}\n`;
}

/** Dependencies of an API that answers no request. */
function nothingBehind(): ApiDependencies {
  return {
    telemetry: absent('telemetry'),
    records: absent('records'),
    live: absent('live'),
    health: () => {
      throw new Error('the document must not need health');
    },
    whatIf: absent('whatIf'),
    alerting: absent('alerting'),
    pages: absent('pages'),
    fleet: () => ({ sites: [], units: [] }),
    clock: () => 0,
    log: pino({ level: 'silent' }),
    metrics: new Registry(),
    publicUrl: 'http://127.0.0.1:8080',
    trustedProxies: [],
    dashboardFolder: null,
  };
}

function absent<T extends object>(name: string): T {
  const get = (_target: T, property: string | symbol): never => {
    throw new Error(`the document must not need ${name}.${String(property)}`);
  };
  return new Proxy({} as T, { get });
}
