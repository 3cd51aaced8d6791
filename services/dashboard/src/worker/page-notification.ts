/** What arrives in a push message and what is shown of it. Free of the browser, for tests. */

export interface PushedPage {
  readonly title: string;
  readonly body: string;
  /** Key of the page: a newer revision takes the place of an older one. */
  readonly tag: string;
  readonly url: string | null;
  readonly renotify: boolean;
  readonly requireInteraction: boolean;
  readonly revision: number;
}

/** Shown for a message that cannot be read: somebody wanted to page, so it is never silent. */
const UNREADABLE: PushedPage = {
  title: 'Lineside pages you',
  body: 'The page could not be read on this device. Open the list of alarms.',
  tag: 'unreadable',
  url: null,
  renotify: true,
  requireInteraction: true,
  revision: 0,
};

/** The page in a push message. */
export function readPage(text: string | null): PushedPage {
  const sent = parsed(text);
  if (typeof sent['title'] !== 'string' || typeof sent['tag'] !== 'string') return UNREADABLE;
  return {
    title: sent['title'],
    body: typeof sent['body'] === 'string' ? sent['body'] : '',
    tag: sent['tag'],
    url: typeof sent['url'] === 'string' ? sent['url'] : null,
    renotify: sent['renotify'] === true,
    requireInteraction: sent['requireInteraction'] === true,
    revision: typeof sent['revision'] === 'number' ? sent['revision'] : 0,
  };
}

function parsed(text: string | null): Readonly<Record<string, unknown>> {
  try {
    const value: unknown = JSON.parse(text ?? '');
    return typeof value === 'object' && value !== null ? { ...value } : {};
  } catch {
    return {};
  }
}

/**
 * Which of two revisions of a page stays on the screen. Push services may deliver the older one
 * last; it then shows the newer one again, without a sound.
 */
export function pageToShow(arrived: PushedPage, shown: unknown): PushedPage {
  if (!isPage(shown) || shown.revision <= arrived.revision) return arrived;
  return { ...shown, renotify: false };
}

function isPage(value: unknown): value is PushedPage {
  return (
    typeof value === 'object' &&
    value !== null &&
    'revision' in value &&
    typeof value.revision === 'number' &&
    'title' in value
  );
}

/** Where no link came along. */
const ALARMS = '/#/alarms';

/**
 * The address that a click opens: always of our own origin, whatever the message says. Of an
 * address elsewhere the path is looked up here, since one server may be reached by several names.
 */
export function addressToOpen(url: string | null, origin: string): string {
  if (url === null || !URL.canParse(url, origin)) return `${origin}${ALARMS}`;
  const { protocol, pathname, search, hash } = new URL(url, origin);
  if (protocol !== 'https:' && protocol !== 'http:') return `${origin}${ALARMS}`;
  return `${origin}${pathname}${search}${hash}`;
}
