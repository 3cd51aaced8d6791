import type { Alarm, Condition } from '../api/types.ts';
import { isNews } from '../order/urgency.ts';
import { announce, takeBack } from './announcement.ts';
import { applyNews, fleet, loadFleet, putAlarm, type UnitNews, unitKey } from './fleet.ts';
import { createStore, type ReadableStore } from './store.ts';

export type Liveness =
  | { readonly state: 'connecting' }
  | { readonly state: 'live' }
  | { readonly state: 'lost'; readonly sinceMs: number };

/** News of a thousand units is gathered this long before the screen changes. */
const GATHER_MS = 1000;

/** A stream that the server has ended for good is asked for again after this long. */
const RETRY_MS = 5000;

/** Everything is read anew this often, in case an event was missed. */
const READ_ANEW_MS = 60_000;

export interface LiveReading {
  readonly site: string;
  readonly unit: string;
  readonly atMs: number;
  readonly channels: Readonly<Record<string, number>>;
}

const store = createStore<Liveness>({ state: 'connecting' });
export const liveness: ReadableStore<Liveness> = store;

const readingListeners = new Set<(reading: LiveReading) => void>();

/** Calls back with each reading as it comes; returns a function that ends it. */
export function onReading(listener: (reading: LiveReading) => void): () => void {
  readingListeners.add(listener);
  return () => readingListeners.delete(listener);
}

/** Listens to the server until the returned function is called. */
export function startLive(): () => void {
  let source: EventSource | null = null;
  let retry: ReturnType<typeof setTimeout> | undefined;
  let news = new Map<string, UnitNews>();

  const lose = (): void => {
    if (store.get().state !== 'lost') store.set({ state: 'lost', sinceMs: Date.now() });
  };
  const connect = (): void => {
    source?.close();
    source = new EventSource('/api/events');
    source.onopen = () => {
      if (store.get().state === 'lost') void loadFleet();
      store.set({ state: 'live' });
    };
    source.onerror = () => {
      lose();
      if (source?.readyState !== EventSource.CLOSED) return;
      clearTimeout(retry);
      retry = setTimeout(connect, RETRY_MS);
      void loadFleet();
    };
    source.addEventListener('reading', (event) => hearReading(event.data, news));
    source.addEventListener('condition', (event) => hearCondition(event.data, news));
    source.addEventListener('alarm', (event) => hearAlarm(JSON.parse(event.data) as Alarm));
  };
  const flush = setInterval(() => {
    if (news.size === 0) return;
    const gathered = news;
    news = new Map();
    applyNews(gathered, Date.now());
  }, GATHER_MS);
  const anew = setInterval(() => void loadFleet(), READ_ANEW_MS);
  addEventListener('offline', lose);
  addEventListener('online', connect);
  connect();

  return () => {
    source?.close();
    clearTimeout(retry);
    clearInterval(flush);
    clearInterval(anew);
    removeEventListener('offline', lose);
    removeEventListener('online', connect);
    store.set({ state: 'connecting' });
  };
}

function hearReading(data: string, news: Map<string, UnitNews>): void {
  const { site, unit, time, ...channels } = JSON.parse(data) as {
    readonly site: string;
    readonly unit: string;
    readonly time: string;
    readonly [channel: string]: string | number;
  };
  const values: Record<string, number> = {};
  for (const [name, value] of Object.entries(channels)) {
    if (typeof value === 'number') values[name] = value;
  }
  const atMs = Date.parse(time);
  for (const listener of readingListeners) listener({ site, unit, atMs, channels: values });
  const key = unitKey(site, unit);
  const heard = news.get(key);
  if (heard?.reading !== undefined && Date.parse(heard.reading.time) >= atMs) return;
  news.set(key, { ...heard, reading: { time, channels: values } });
}

function hearCondition(data: string, news: Map<string, UnitNews>): void {
  const { site, unit, ...condition } = JSON.parse(data) as Condition & {
    readonly site: string;
    readonly unit: string;
  };
  const key = unitKey(site, unit);
  news.set(key, { ...news.get(key), condition });
}

function hearAlarm(alarm: Alarm): void {
  const before = fleet.get().alarms.get(alarm.id);
  putAlarm(alarm);
  if (alarm.withdrawn) takeBack(alarm);
  else if (isNews(before, alarm)) announce(alarm);
}
