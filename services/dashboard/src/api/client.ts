import createClient, { type Client, type Middleware } from 'openapi-fetch';
import type { paths } from '../generated/api-types.ts';
import { csrfToken, rememberCsrfToken } from './csrf.ts';
import { ApiFailure, failureOf, type ProblemDetails } from './problem.ts';
import type {
  Alarm,
  AlarmJournalEntry,
  Episode,
  Health,
  OnCall,
  Role,
  ServiceEntry,
  ServiceRecord,
  Session,
  Storm,
  StormReview,
  TelemetryPoint,
  Unit,
} from './types.ts';

/** Page size of lists that are read to their end: the most that the API gives at once. */
const WHOLE_LIST_LIMIT = 1000;

async function problemOf(response: Response): Promise<ProblemDetails> {
  const body = (await response.json().catch(() => ({}))) as ProblemDetails;
  const retryAfter = Number(response.headers.get('retry-after') ?? Number.NaN);
  return Number.isNaN(retryAfter) ? body : { ...body, retryAfterSeconds: retryAfter };
}

/** Every call carries the session's token and rejects with ApiFailure when it is not answered. */
const manners: Middleware = {
  onRequest({ request }) {
    if (request.method !== 'GET') request.headers.set('x-csrf-token', csrfToken());
    return request;
  },
  async onResponse({ response }) {
    if (!response.ok) throw failureOf(response.status, await problemOf(response));
  },
  onError({ error }) {
    return error instanceof ApiFailure ? error : failureOf(0, {});
  },
};

export const client: Client<paths> = createClient<paths>({ credentials: 'same-origin' });
client.use(manners);

/** The body of an answer; the middleware has seen to it that there is one. */
export async function bodyOf<T>(answer: Promise<{ readonly data?: T }>): Promise<T> {
  const { data } = await answer;
  if (data === undefined) throw failureOf(502, {});
  return data;
}

interface ListPage<T> {
  readonly items: readonly T[];
  readonly next: string | null;
}

interface PageQuery {
  limit: number;
  cursor?: string;
}

async function wholeList<T>(
  read: (page: PageQuery) => Promise<ListPage<T>>,
): Promise<readonly T[]> {
  const items: T[] = [];
  let query: PageQuery = { limit: WHOLE_LIST_LIMIT };
  for (;;) {
    const page = await read(query);
    items.push(...page.items);
    if (page.next === null) return items;
    query = { limit: WHOLE_LIST_LIMIT, cursor: page.next };
  }
}

export const spanQuery = (fromMs: number, toMs: number): { from: string; to: string } => ({
  from: new Date(fromMs).toISOString(),
  to: new Date(toMs).toISOString(),
});

async function remembered(answer: Promise<Session>): Promise<Session> {
  const session = await answer;
  rememberCsrfToken(session.csrfToken);
  return session;
}

export function readSession(): Promise<Session> {
  return remembered(bodyOf(client.GET('/api/session')));
}

export function startSession(username: string, password: string): Promise<Session> {
  return remembered(bodyOf(client.POST('/api/session', { body: { username, password } })));
}

export async function endSession(): Promise<void> {
  await client.DELETE('/api/session');
}

export function readInvitation(secret: string): Promise<{ readonly role: Role }> {
  return bodyOf(client.GET('/api/invitation/{secret}', { params: { path: { secret } } }));
}

export function acceptInvitation(acceptance: {
  readonly secret: string;
  readonly username: string;
  readonly displayName: string;
  readonly password: string;
}): Promise<Session> {
  return remembered(bodyOf(client.POST('/api/invitation', { body: acceptance })));
}

export function allUnits(): Promise<readonly Unit[]> {
  return wholeList((query) => bodyOf(client.GET('/api/units', { params: { query } })));
}

export function openAlarms(): Promise<readonly Alarm[]> {
  return wholeList((page) =>
    bodyOf(client.GET('/api/alarms', { params: { query: { ...page, state: 'open' } } })),
  );
}

/** Alarms of one unit that overlap [fromMs, toMs), newest first, at most 1,000. */
export async function alarmsOfUnit(
  site: string,
  unit: string,
  fromMs: number,
  toMs: number,
): Promise<readonly Alarm[]> {
  const query = { site, unit, limit: WHOLE_LIST_LIMIT, ...spanQuery(fromMs, toMs) };
  return (await bodyOf(client.GET('/api/alarms', { params: { query } }))).items;
}

export function acknowledge(id: string, note?: string): Promise<Alarm> {
  const params = { path: { id } };
  return bodyOf(client.POST('/api/alarms/{id}/acknowledge', { params, ...withNote(note) }));
}

export function handOn(id: string, note?: string): Promise<Alarm> {
  const params = { path: { id } };
  return bodyOf(client.POST('/api/alarms/{id}/hand-on', { params, ...withNote(note) }));
}

const withNote = (note = ''): { body?: { note: string } } =>
  note === '' ? {} : { body: { note } };

export function shelve(id: string, untilMs: number, reason: string): Promise<Alarm> {
  const body = { until: new Date(untilMs).toISOString(), reason };
  return bodyOf(client.POST('/api/alarms/{id}/shelve', { params: { path: { id } }, body }));
}

export function unshelve(id: string): Promise<Alarm> {
  return bodyOf(client.POST('/api/alarms/{id}/unshelve', { params: { path: { id } } }));
}

/** The newest hundred lines of an alarm's journal. */
export async function alarmJournal(id: string): Promise<readonly AlarmJournalEntry[]> {
  return (await bodyOf(client.GET('/api/alarms/{id}/journal', { params: { path: { id } } }))).items;
}

/** Wettings of one unit that overlap [fromMs, toMs), newest first, at most 1,000. */
export async function episodesOfUnit(
  site: string,
  unit: string,
  fromMs: number,
  toMs: number,
): Promise<readonly Episode[]> {
  const query = { limit: WHOLE_LIST_LIMIT, ...spanQuery(fromMs, toMs) };
  const path = { site, unit };
  const page = client.GET('/api/units/{site}/{unit}/episodes', { params: { path, query } });
  return (await bodyOf(page)).items;
}

/** The newest hundred storms. */
export async function storms(): Promise<readonly Storm[]> {
  return (await bodyOf(client.GET('/api/storms'))).items;
}

export function stormReview(id: string): Promise<StormReview> {
  return bodyOf(client.GET('/api/storms/{id}', { params: { path: { id } } }));
}

/** Where the units of a storm are as CSV. */
export function stormCsvAddress(id: string): string {
  return `/api/storms/${encodeURIComponent(id)}.csv`;
}

/** The newest hundred service records of one unit. */
export async function serviceRecords(
  site: string,
  unit: string,
): Promise<readonly ServiceRecord[]> {
  const path = { site, unit };
  const page = client.GET('/api/units/{site}/{unit}/service', { params: { path } });
  return (await bodyOf(page)).items;
}

export function addServiceRecord(
  site: string,
  unit: string,
  body: ServiceEntry,
): Promise<ServiceRecord> {
  const path = { site, unit };
  return bodyOf(client.POST('/api/units/{site}/{unit}/service', { params: { path }, body }));
}

/** Through openapi-fetch it is forgotten that a point of the document has four numbers. */
const isPoint = (row: readonly number[]): row is TelemetryPoint => row.length === 4;

const pointsOf = (rows: readonly (readonly number[])[]): readonly TelemetryPoint[] =>
  rows.filter(isPoint);

/** Points of each channel that has any within [fromMs, toMs), by channel name. */
export async function telemetry(
  site: string,
  unit: string,
  fromMs: number,
  toMs: number,
  channels: readonly string[],
  points: number,
): Promise<ReadonlyMap<string, readonly TelemetryPoint[]>> {
  const query = { ...spanQuery(fromMs, toMs), channels: channels.join(','), points };
  const path = { site, unit };
  const answer = await bodyOf(
    client.GET('/api/units/{site}/{unit}/telemetry', { params: { path, query } }),
  );
  const read = Object.entries(answer.channels).map(
    ([name, channel]) => [name, pointsOf(channel.points)] as const,
  );
  return new Map(read.filter(([, rows]) => rows.length > 0));
}

export function readHealth(): Promise<Health> {
  return bodyOf(client.GET('/api/health'));
}

export function readOnCall(): Promise<OnCall> {
  return bodyOf(client.GET('/api/on-call'));
}
