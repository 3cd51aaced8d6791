import { PRIORITIES, type Priority } from '@lineside/anomaly';
import {
  type AlarmFacts,
  type InParts,
  type PagedAlarm,
  type PageToHandOver,
  PartCount,
  pageWords,
} from '@lineside/paging';
import type { ContactPoint, NewMessage, NewPageLink } from '@lineside/storage';
import { pageLinkId, signPageLink } from './page-link.ts';

const HOUR_MS = 60 * 60_000;

/** By then everybody on the ladder was asked, and newer pages say more. */
const PAGE_EXPIRES_AFTER_MS = 4 * HOUR_MS;

/** A digest is worth reading until the next one. */
const DIGEST_EXPIRES_AFTER_MS = 24 * HOUR_MS;

/** Whoever was paged in the evening opens it once more the next evening; common practice. */
const LINK_EXPIRES_AFTER_MS = 24 * HOUR_MS;

export interface MessageSources {
  readonly contacts: readonly ContactPoint[];
  readonly factsOf: (alarm: PagedAlarm) => AlarmFacts;
  /** Without a trailing slash. */
  readonly publicUrl: string;
  readonly linkSecret: string;
}

export interface PageMessages {
  readonly messages: readonly NewMessage[];
  readonly links: readonly NewPageLink[];
  /** People whom a page was for and who have no contact point any more; null is the office. */
  readonly unreached: readonly (string | null)[];
}

/**
 * One message for each page and contact point of its person, and the link that all of them carry.
 * It depends on nothing but its arguments: made again after a crash, ids and links are the same. It
 * rests after each long page.
 */
export function* pageMessagesInParts(
  pages: readonly PageToHandOver[],
  sources: MessageSources,
): InParts<PageMessages> {
  const part = new PartCount();
  const messages: NewMessage[] = [];
  const links: NewPageLink[] = [];
  const unreached: (string | null)[] = [];
  for (const page of pages) {
    const { person } = page.to;
    const contacts = sources.contacts.filter((contact) => contact.person === person);
    if (contacts.length === 0) unreached.push(person);
    const link = linkOf(page);
    links.push(link);
    const words = wordsOf(page, link.id, sources);
    messages.push(...contacts.map((contact) => messageTo(contact, page, words)));
    if (part.fills(link.alarmIds.length)) yield;
  }
  return { messages, links, unreached };
}

function messageTo(contact: ContactPoint, page: PageToHandOver, words: unknown): NewMessage {
  const expiresAfterMs = page.kind === 'digest' ? DIGEST_EXPIRES_AFTER_MS : PAGE_EXPIRES_AFTER_MS;
  return {
    id: `${page.key}.${contact.id}`,
    revision: page.revision,
    pageKey: page.key,
    person: page.to.person,
    contact: contact.id,
    channel: contact.channel,
    words,
    createdAtMs: page.atMs,
    dueAtMs: page.atMs,
    expiresAtMs: page.atMs + expiresAfterMs,
  };
}

function linkOf(page: PageToHandOver): NewPageLink {
  return {
    id: pageLinkId(page.key, page.to.person),
    pageKey: page.key,
    person: page.to.person,
    alarmIds: alarmsOf(page).map(({ id }) => id),
    createdAtMs: page.atMs,
    expiresAtMs: page.atMs + LINK_EXPIRES_AFTER_MS,
  };
}

function wordsOf(page: PageToHandOver, linkId: string, sources: MessageSources): unknown {
  const { publicUrl, linkSecret, factsOf } = sources;
  const { title, body, lines } = pageWords(page, factsOf);
  const url = `${publicUrl}/p/${signPageLink(linkSecret, linkId)}`;
  return { priority: priorityOf(page), title, body, lines, url };
}

/** The highest of what still stands: what is over wakes nobody. */
function priorityOf(page: PageToHandOver): Priority {
  const standing = alarmsOf(page).filter(({ overAtMs }) => overAtMs === undefined);
  const highest = Math.max(0, ...standing.map(({ priority }) => PRIORITIES.indexOf(priority)));
  return PRIORITIES[highest] ?? 'routine';
}

function alarmsOf({ stops, alsoOpen }: PageToHandOver): readonly PagedAlarm[] {
  return [...stops.flatMap(({ alarms }) => alarms), ...alsoOpen];
}
