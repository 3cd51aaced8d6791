/** Asks the server about the page of this address. */
import type { Page, PageAlarmDetail, PageChart } from './page-types.ts';

/** On a bad connection an answer takes seconds; one that takes longer does not come. */
const ANSWERS_WITHIN_MS = 20_000;

/** A call that brought nothing; `words` say what to do. */
export class PageFailure extends Error {
  /** HTTP status; 0 when the server could not be reached. */
  readonly status: number;

  constructor(status: number, words: string) {
    super(words);
    this.name = 'PageFailure';
    this.status = status;
  }
}

export type Press =
  | { readonly action: 'on-my-way' | 'acknowledge' | 'hand-on' }
  | { readonly action: 'shelve'; readonly until: string; readonly reason: string };

/** Alarm id of a press that means all of the page. */
export const ALL = 'all';

const address = (rest: string): string =>
  `/api/pages/${location.pathname.replace(/^.*\/p\//, '')}${rest}`;

export const readPage = (): Promise<Page> => call('');

export const readDetail = (alarm: string): Promise<PageAlarmDetail> =>
  call(`/alarms/${encodeURIComponent(alarm)}`);

export const readChart = (alarm: string): Promise<PageChart> =>
  call(`/chart/${encodeURIComponent(alarm)}`);

/** Presses a button; pressed again after an answer that never came it does no harm. */
export function press(alarm: string, { action, ...more }: Press): Promise<Page> {
  return call(`/${action}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ alarm, ...more }),
  });
}

async function call<T>(rest: string, init: RequestInit = {}): Promise<T> {
  let response: Response;
  try {
    const signal = AbortSignal.timeout(ANSWERS_WITHIN_MS);
    response = await fetch(address(rest), { ...init, signal, credentials: 'same-origin' });
    if (response.ok) return (await response.json()) as T;
  } catch {
    throw new PageFailure(0, 'No connection to the server.');
  }
  throw new PageFailure(response.status, await wordsOf(response));
}

async function wordsOf(response: Response): Promise<string> {
  const problem = (await response.json().catch(() => ({}))) as { readonly detail?: string };
  if (response.status === 429) return 'Too many tries in a short time. Wait a minute.';
  if (response.status >= 500) return 'The server failed.';
  return problem.detail ?? `The server refused it (status ${response.status}).`;
}
