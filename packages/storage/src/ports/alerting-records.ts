import type { Page, PageRequest } from './record-store.ts';

/**
 * What alerting keeps, so that a crash forgets nobody and repeats at most what was in flight. The
 * journal's place, what was decided from it and the messages that follow are one transaction.
 */
export interface AlertingRecords {
  /** Where alerting stands; null before its first commit. */
  alertingState(): Promise<AlertingState | null>;
  /**
   * Writes one step. Rejects with `STORE_CONFLICT`, keeping nothing, when `basedOn` is not the stored
   * generation (0 before the first): another process took a step in between.
   */
  commitAlerting(step: AlertingStep): Promise<void>;
  /** Writes messages that are no step of alerting, such as test pages; over by id like there. */
  addMessages(messages: readonly NewMessage[]): Promise<void>;

  /** Messages that wait and are due at `nowMs`, the soonest first; `limit` is 1 to 1,000. */
  messagesDue(nowMs: number, limit: number): Promise<readonly OutboxMessage[]>;
  /** When the next one that waits is due; null when none waits. */
  nextMessageDueMs(): Promise<number | null>;
  /**
   * Writes what came of handing messages over. A message whose revision has risen since is left as
   * it is: its newer words still wait. One that does not wait any more only takes that it was handed
   * over: nothing lets it wait again.
   */
  settleMessages(outcomes: readonly MessageOutcome[]): Promise<void>;
  /** Newest `createdAtMs` first, ties by id, the greater first. */
  messages(query: PageRequest): Promise<Page<OutboxMessage>>;
  /** When a message was last handed over, by channel. */
  lastHandedOver(): Promise<readonly { readonly channel: ChannelKind; readonly atMs: number }[]>;
  /** Messages that do not wait and were created before `atMs`, and links that expired before it. */
  forgetMessagesBefore(atMs: number): Promise<void>;

  pageLink(id: string): Promise<PageLink | null>;
  /**
   * Binds the link to a device unless it is bound: the first that presses a button. Returns the hash
   * that it is bound to then, null for a link that is unknown or expired at `nowMs`.
   */
  bindPageLink(id: string, deviceHash: string, nowMs: number): Promise<string | null>;
}

export const CHANNEL_KINDS = ['web-push', 'e-mail', 'webhook'] as const;
export type ChannelKind = (typeof CHANNEL_KINDS)[number];

export interface AlertingState {
  /** Rises by one with each step. */
  readonly generation: number;
  /** Sequence of the newest journal entry that was read. */
  readonly journalThrough: number;
  /** Plain JSON. */
  readonly paging: unknown;
  /** By alarm id. */
  readonly asks: readonly StoredAsk[];
}

/** What is kept of one alarm that may ask somebody. */
export interface StoredAsk {
  readonly alarmId: string;
  /** Plain JSON. */
  readonly ask: unknown;
}

export interface AlertingStep {
  readonly basedOn: number;
  readonly journalThrough: number;
  /** Plain JSON. */
  readonly paging: unknown;
  /** Written over by alarm id. */
  readonly asks: readonly StoredAsk[];
  /** Alarms that ask nobody any more; unknown ones are no error. */
  readonly forgotten: readonly string[];
  /** Their messages that wait are given up; those handed over stay as they are. */
  readonly withdrawn: readonly WithdrawnPage[];
  /** Written over by id: they wait anew, with no attempt made, also those of a withdrawn page. */
  readonly messages: readonly NewMessage[];
  /** Written over by id but for the device that they are bound to. */
  readonly links: readonly NewPageLink[];
}

/** A page that is not worth handing over any more. */
export interface WithdrawnPage {
  /** Unknown ones are no error. */
  readonly pageKey: string;
  /** What is kept as the failure of its messages. */
  readonly why: string;
}

/** A page on its way to one contact point. */
export interface NewMessage {
  /** The same for each revision of a page to a contact point; `[A-Za-z0-9_.-]{1,128}`. */
  readonly id: string;
  /** Rises with each hand-over of the page. */
  readonly revision: number;
  /** Key of the page: push topic and notification tag. `[a-z0-9-]{1,32}` */
  readonly pageKey: string;
  /** Person of the rota; null for the office. */
  readonly person: string | null;
  /** Contact point. */
  readonly contact: string;
  readonly channel: ChannelKind;
  /** What to say; plain JSON. */
  readonly words: unknown;
  readonly createdAtMs: number;
  readonly dueAtMs: number;
  /** Not worth handing over any more after this. */
  readonly expiresAtMs: number;
}

export const MESSAGE_STATES = ['waiting', 'handed-over', 'given-up'] as const;
export type MessageState = (typeof MESSAGE_STATES)[number];

export interface OutboxMessage extends NewMessage {
  readonly state: MessageState;
  readonly attempts: number;
  readonly handedOverAtMs: number | null;
  /** Why the newest attempt failed; null when none failed. */
  readonly failure: string | null;
}

export interface MessageOutcome {
  readonly id: string;
  readonly revision: number;
  readonly state: MessageState;
  readonly attempts: number;
  /** When it is tried again while it waits; else as it was. */
  readonly dueAtMs: number;
  readonly handedOverAtMs: number | null;
  readonly failure: string | null;
}

/** A page that is open behind a link. */
export interface NewPageLink {
  readonly id: string;
  readonly pageKey: string;
  readonly person: string | null;
  /** What the link shows and answers. */
  readonly alarmIds: readonly string[];
  readonly createdAtMs: number;
  readonly expiresAtMs: number;
}

export interface PageLink extends NewPageLink {
  readonly deviceHash: string | null;
}
