import { csrfToken, rememberCsrfToken } from './csrf.ts';
import { failureOf, type ProblemDetails } from './problem.ts';
import type {
  Alarm,
  Episode,
  Page,
  Role,
  ServiceRecord,
  Session,
  Telemetry,
  Unit,
} from './types.ts';

/** Page size of lists that are read to their end: the most that the API gives at once. */
const WHOLE_LIST_LIMIT = 1000;

async function call<T>(method: string, path: string, body?: unknown): Promise<T> {
  const headers = new Headers({ accept: 'application/json' });
  if (method !== 'GET') headers.set('x-csrf-token', csrfToken());
  if (body !== undefined) headers.set('content-type', 'application/json');
  const init: RequestInit = { method, headers, credentials: 'same-origin' };
  if (body !== undefined) init.body = JSON.stringify(body);
  const response = await fetch(path, init).catch(() => null);
  if (response === null) throw failureOf(0, {});
  if (!response.ok) throw failureOf(response.status, await problemOf(response));
  return response.status === 204 ? (undefined as T) : ((await response.json()) as T);
}

async function problemOf(response: Response): Promise<ProblemDetails> {
  const body = (await response.json().catch(() => ({}))) as ProblemDetails;
  const retryAfter = Number(response.headers.get('retry-after') ?? Number.NaN);
  return Number.isNaN(retryAfter) ? body : { ...body, retryAfterSeconds: retryAfter };
}

async function wholeList<T>(path: string, query: URLSearchParams): Promise<readonly T[]> {
  const items: T[] = [];
  query.set('limit', String(WHOLE_LIST_LIMIT));
  for (;;) {
    const page = await call<Page<T>>('GET', `${path}?${query}`);
    items.push(...page.items);
    if (page.next === null) return items;
    query.set('cursor', page.next);
  }
}

const unitPath = (site: string, unit: string): string =>
  `/api/units/${encodeURIComponent(site)}/${encodeURIComponent(unit)}`;

const spanQuery = (fromMs: number, toMs: number): URLSearchParams =>
  new URLSearchParams({
    from: new Date(fromMs).toISOString(),
    to: new Date(toMs).toISOString(),
  });

async function remembered(answer: Promise<Session>): Promise<Session> {
  const session = await answer;
  rememberCsrfToken(session.csrfToken);
  return session;
}

// Every function below rejects with ApiFailure.

export function readSession(): Promise<Session> {
  return remembered(call<Session>('GET', '/api/session'));
}

export function startSession(username: string, password: string): Promise<Session> {
  return remembered(call<Session>('POST', '/api/session', { username, password }));
}

export function endSession(): Promise<void> {
  return call('DELETE', '/api/session');
}

export function readInvitation(secret: string): Promise<{ readonly role: Role }> {
  return call('GET', `/api/invitation/${encodeURIComponent(secret)}`);
}

export function acceptInvitation(acceptance: {
  readonly secret: string;
  readonly username: string;
  readonly displayName: string;
  readonly password: string;
}): Promise<Session> {
  return remembered(call<Session>('POST', '/api/invitation', acceptance));
}

export function allUnits(): Promise<readonly Unit[]> {
  return wholeList<Unit>('/api/units', new URLSearchParams());
}

export function openAlarms(): Promise<readonly Alarm[]> {
  return wholeList<Alarm>('/api/alarms', new URLSearchParams({ state: 'open' }));
}

/** Alarms of one unit that overlap [fromMs, toMs), newest first, at most 1,000. */
export async function alarmsOfUnit(
  site: string,
  unit: string,
  fromMs: number,
  toMs: number,
): Promise<readonly Alarm[]> {
  const query = spanQuery(fromMs, toMs);
  query.set('site', site);
  query.set('unit', unit);
  query.set('limit', String(WHOLE_LIST_LIMIT));
  return (await call<Page<Alarm>>('GET', `/api/alarms?${query}`)).items;
}

export function acknowledge(id: string): Promise<Alarm> {
  return call('POST', `/api/alarms/${encodeURIComponent(id)}/acknowledge`, {});
}

/** Wettings of one unit that overlap [fromMs, toMs), newest first, at most 1,000. */
export async function episodesOfUnit(
  site: string,
  unit: string,
  fromMs: number,
  toMs: number,
): Promise<readonly Episode[]> {
  const query = spanQuery(fromMs, toMs);
  query.set('limit', String(WHOLE_LIST_LIMIT));
  return (await call<Page<Episode>>('GET', `${unitPath(site, unit)}/episodes?${query}`)).items;
}

/** The newest hundred service records of one unit. */
export async function serviceRecords(
  site: string,
  unit: string,
): Promise<readonly ServiceRecord[]> {
  return (await call<Page<ServiceRecord>>('GET', `${unitPath(site, unit)}/service`)).items;
}

export function addServiceRecord(
  site: string,
  unit: string,
  record: ServiceRecord,
): Promise<ServiceRecord> {
  return call('POST', `${unitPath(site, unit)}/service`, { site, unit, ...record });
}

export function telemetry(
  site: string,
  unit: string,
  fromMs: number,
  toMs: number,
  channels: readonly string[],
  points: number,
): Promise<Telemetry> {
  const query = spanQuery(fromMs, toMs);
  query.set('channels', channels.join(','));
  query.set('points', String(points));
  return call('GET', `${unitPath(site, unit)}/telemetry?${query}`);
}
