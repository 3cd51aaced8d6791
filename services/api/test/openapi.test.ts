import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { StoredEpisode } from '@lineside/storage';
import { Validator } from '@seriousme/openapi-schema-validator';
import { Ajv2020 } from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import { describe, expect, it } from 'vitest';
import { openApiDocument } from '../src/openapi-document.ts';
import { alarmOf, raiseOf } from './support/alarm.ts';
import { unitNamed } from './support/fleet.ts';
import { openHouse, START_MS } from './support/house.ts';
import { conditionAt } from './support/live.ts';
import { ROTA } from './support/rota.ts';

interface Operation {
  readonly operationId: string;
  readonly security?: readonly object[];
  readonly parameters?: readonly { readonly in: string; readonly name: string }[];
  readonly responses: Record<string, { content?: Record<string, { schema: object }> }>;
}
interface Document {
  readonly openapi: string;
  readonly paths: Record<string, Record<string, Operation>>;
  readonly components: {
    readonly schemas: Record<string, object>;
    readonly securitySchemes: Record<string, object>;
  };
}

const text = await openApiDocument();
const document: Document = JSON.parse(text);
const operations = Object.entries(document.paths).flatMap(([path, methods]) =>
  Object.entries(methods).map(([method, operation]) => ({ path, method, operation })),
);

describe('the OpenAPI document', () => {
  it('that is kept in the repository is up to date', () => {
    const file = join(import.meta.dirname, '..', 'openapi.json');
    expect(readFileSync(file, 'utf8'), 'run: npm run openapi -w @lineside/api').toBe(text);
  });

  it('is valid OpenAPI 3.1', async () => {
    const validator = new Validator();
    const { valid, errors } = await validator.validate(JSON.parse(text));
    expect(errors ?? []).toEqual([]);
    expect(valid).toBe(true);
    expect(validator.version).toBe('3.1');
    expect(document.openapi).toBe('3.1.0');
  });

  it('names every call', () => {
    expect(operations.map(({ path, method }) => `${method} ${path}`).sort()).toEqual([
      'delete /api/contact-points/mine/{id}',
      'delete /api/on-call/calendar',
      'delete /api/session',
      'delete /api/what-if/{id}',
      'get /api/alarm-figures',
      'get /api/alarm-figures.csv',
      'get /api/alarms',
      'get /api/alarms/{id}',
      'get /api/alarms/{id}/journal',
      'get /api/alarms/{id}/verdicts',
      'get /api/alerting',
      'get /api/contact-points/mine',
      'get /api/events',
      'get /api/health',
      'get /api/invitation/{secret}',
      'get /api/on-call',
      'get /api/on-call/calendar/{file}',
      'get /api/on-call/rota',
      'get /api/on-call/shifts',
      'get /api/openapi.json',
      'get /api/pages/{link}',
      'get /api/pages/{link}/alarms/{alarm}',
      'get /api/pages/{link}/chart/{alarm}',
      'get /api/precision',
      'get /api/push-key',
      'get /api/quarantine',
      'get /api/session',
      'get /api/storms',
      'get /api/storms/{id}',
      'get /api/storms/{id}.csv',
      'get /api/units',
      'get /api/units/{site}/{unit}',
      'get /api/units/{site}/{unit}/episodes',
      'get /api/units/{site}/{unit}/holds',
      'get /api/units/{site}/{unit}/service',
      'get /api/units/{site}/{unit}/telemetry',
      'get /api/verdicts',
      'get /api/what-if/{id}',
      'get /metrics',
      'post /api/alarms/{id}/acknowledge',
      'post /api/alarms/{id}/hand-on',
      'post /api/alarms/{id}/shelve',
      'post /api/alarms/{id}/unshelve',
      'post /api/alarms/{id}/verdict',
      'post /api/contact-points/mine',
      'post /api/holds/{id}/end',
      'post /api/invitation',
      'post /api/on-call/calendar',
      'post /api/on-call/teams/{team}/changes',
      'post /api/on-call/teams/{team}/changes/{id}/call-off',
      'post /api/pages/{link}/acknowledge',
      'post /api/pages/{link}/hand-on',
      'post /api/pages/{link}/on-my-way',
      'post /api/pages/{link}/shelve',
      'post /api/session',
      'post /api/test-page',
      'post /api/units/{site}/{unit}/holds',
      'post /api/units/{site}/{unit}/service',
      'post /api/what-if',
    ]);
    const ids = operations.map(({ operation }) => operation.operationId);
    expect(new Set(ids).size).toBe(operations.length);
  });

  it('says for every call how to sign in and what errors look like', () => {
    expect(Object.keys(document.components.securitySchemes)).toEqual(['bearer', 'session']);
    for (const { path, operation } of operations) {
      const errors = Object.keys(operation.responses).filter((status) => status >= '400');
      expect(errors, path).toEqual(expect.arrayContaining(['429', '500', '503']));
      if (operation.security?.length !== 0) expect(errors, path).toContain('401');
      for (const status of errors) {
        const problem = { schema: { $ref: '#/components/schemas/Problem' } };
        expect(operation.responses[status]?.content).toEqual({
          'application/problem+json': problem,
        });
      }
    }
  });

  it('is what the server answers', async () => {
    const house = await openHouse();
    const response = await house.call('viewer', 'GET', '/api/openapi.json');
    expect(response.json()).toEqual(document);
  });
});

describe('answers', () => {
  const ajv = new Ajv2020({ strict: false });
  addFormats.default(ajv);
  ajv.addSchema({ $id: 'document', ...document });

  it('are what the document says', async () => {
    const house = await openHouse();
    await house.records.changeAlarms([{ entry: raiseOf(alarmOf('a')) }]);
    const wetting = { sinceMs: START_MS, source: 'condensation' } as const;
    house.live.conditions.set('harbour/rtu-01', conditionAt(START_MS, { wetting }));
    const ref = { site: 'harbour', unit: 'rtu-01' };
    house.live.readings.set('harbour/rtu-01', { ...ref, atMs: START_MS, channels: { rh: 1 } });
    const episode = { startMs: 0, peakMs: 1, endMs: null, wetHours: 1, evidence: {} };
    house.records.episodeList.push({ ...ref, episode: { ...episode, source: 'condensation' } });
    for (const id of ['rtu-02', 'rtu-03', 'rtu-04']) {
      house.fleet = { ...house.fleet, units: [...house.fleet.units, unitNamed('harbour', id)] };
      const stormy = { ...episode, startMs: START_MS, peakMs: START_MS, source: 'water-ingress' };
      house.records.episodeList.push({ ...ref, unit: id, episode: stormy } as StoredEpisode);
    }
    const storm = (await house.call('office', 'GET', '/api/storms')).json().items[0].id;
    const payload = new Uint8Array([1]);
    const entry = { atMs: 0, topic: 't', code: 'C', reason: 'r', payload };
    house.records.quarantineList.push(entry);
    await house.records.saveRota(ROTA, 0);
    const unit = '/api/units/harbour/rtu-01';
    await house.call('office', 'POST', `${unit}/service`, { action: 'cleaned', note: 'x' });
    const until = new Date(START_MS + 60_000).toISOString();
    const hold = { kind: 'maintenance', reason: 'cleaning', until };
    await house.call('office', 'POST', `${unit}/holds`, hold);
    await house.call('office', 'POST', '/api/alarms/a/verdict', { verdict: 'true' });
    const asked = [
      ['/api/health', '/api/health'],
      ['/api/units', '/api/units'],
      ['/api/units/{site}/{unit}', unit],
      ['/api/units/{site}/{unit}/telemetry', `${unit}/telemetry`],
      ['/api/units/{site}/{unit}/service', `${unit}/service`],
      ['/api/units/{site}/{unit}/episodes', `${unit}/episodes`],
      ['/api/units/{site}/{unit}/holds', `${unit}/holds`],
      ['/api/alarms', '/api/alarms'],
      ['/api/alarms/{id}/journal', '/api/alarms/a/journal'],
      ['/api/alarms/{id}/verdicts', '/api/alarms/a/verdicts'],
      ['/api/verdicts', '/api/verdicts'],
      ['/api/precision', '/api/precision'],
      ['/api/alarm-figures', '/api/alarm-figures'],
      ['/api/quarantine', '/api/quarantine'],
      ['/api/on-call', '/api/on-call'],
      ['/api/on-call/shifts', '/api/on-call/shifts'],
      ['/api/on-call/rota', '/api/on-call/rota'],
      ['/api/alerting', '/api/alerting'],
      ['/api/storms', '/api/storms'],
      ['/api/storms/{id}', `/api/storms/${storm}`],
    ] as const;
    for (const [path, url] of asked) {
      const response = await house.call('office', 'GET', url);
      const pointer = `paths/${path.replaceAll('/', '~1')}/get/responses/200/content`;
      const schema = `document#/${encodeURI(pointer)}/application~1json/schema`;
      const isValid = ajv.compile({ $ref: schema });
      expect(isValid(response.json()), `${path}: ${ajv.errorsText(isValid.errors)}`).toBe(true);
    }
  });
});
