import type { Database } from 'better-sqlite3';
import type {
  AlertingRecords,
  ChannelKind,
  MessageOutcome,
  MessageState,
  NewMessage,
  OutboxMessage,
  WithdrawnPage,
} from '../../ports/alerting-records.ts';
import { toJson } from './json-column.ts';
import { checkedLimit, type PageParameters, readPage } from './pages.ts';
import type { Synchronous } from './synchronous.ts';

interface NewMessageRow {
  readonly id: string;
  readonly revision: number;
  readonly page_key: string;
  readonly person: string | null;
  readonly contact: string;
  readonly channel: ChannelKind;
  readonly words: string;
  readonly created_at_ms: number;
  readonly due_at_ms: number;
  readonly expires_at_ms: number;
}

interface MessageRow extends NewMessageRow {
  readonly state: MessageState;
  readonly attempts: number;
  readonly handed_over_at_ms: number | null;
  readonly failure: string | null;
}

type OutboxRecords = Pick<
  Synchronous<AlertingRecords>,
  'messagesDue' | 'nextMessageDueMs' | 'settleMessages' | 'messages' | 'lastHandedOver'
> & {
  /** Messages that do not wait and were created before `atMs`. */
  readonly forgetSettledBefore: (atMs: number) => void;
};

export function outboxRecords(db: Database): OutboxRecords {
  const due = db.prepare<[number, number], MessageRow>(
    `SELECT * FROM outbox_messages WHERE state = 'waiting' AND due_at_ms <= ?
     ORDER BY due_at_ms, id LIMIT ?`,
  );
  const next = db
    .prepare<[], number | null>(
      `SELECT min(due_at_ms) FROM outbox_messages WHERE state = 'waiting'`,
    )
    .pluck();
  const page = db.prepare<[PageParameters], MessageRow>(
    `SELECT * FROM outbox_messages WHERE (created_at_ms, id) < (@beforeKey, @beforeId)
     ORDER BY created_at_ms DESC, id DESC LIMIT @rows`,
  );
  const handedOver = db.prepare<[], { readonly channel: ChannelKind; readonly atMs: number }>(
    'SELECT channel, at_ms AS atMs FROM channel_hand_overs ORDER BY channel',
  );
  const forget = db.prepare<[number]>(
    `DELETE FROM outbox_messages WHERE created_at_ms < ? AND state <> 'waiting'`,
  );
  return {
    messagesDue: (nowMs, limit) => due.all(nowMs, checkedLimit(limit)).map(messageOf),
    nextMessageDueMs: () => next.get() ?? null,
    settleMessages: outcomeWriter(db),
    messages: (query) =>
      readPage(
        'messages',
        query,
        (parameters) => page.all(parameters),
        messageOf,
        (row) => ({ key: row.created_at_ms, id: row.id }),
      ),
    lastHandedOver: () => handedOver.all(),
    forgetSettledBefore: (atMs) => {
      forget.run(atMs);
    },
  };
}

/** Writes messages over by id, inside the caller's transaction. */
export function outboxWriter(db: Database): (messages: readonly NewMessage[]) => void {
  const put = db.prepare<[NewMessageRow]>(
    `INSERT INTO outbox_messages
       (id, revision, page_key, person, contact, channel, words, created_at_ms, due_at_ms,
        expires_at_ms, state, attempts, handed_over_at_ms, failure)
     VALUES (@id, @revision, @page_key, @person, @contact, @channel, @words, @created_at_ms,
        @due_at_ms, @expires_at_ms, 'waiting', 0, NULL, NULL)
     ON CONFLICT (id) DO UPDATE SET
       revision = excluded.revision, page_key = excluded.page_key, person = excluded.person,
       contact = excluded.contact, channel = excluded.channel, words = excluded.words,
       created_at_ms = excluded.created_at_ms, due_at_ms = excluded.due_at_ms,
       expires_at_ms = excluded.expires_at_ms, state = excluded.state,
       attempts = excluded.attempts, handed_over_at_ms = excluded.handed_over_at_ms,
       failure = excluded.failure`,
  );
  return (messages) => {
    for (const message of messages) put.run(rowOf(message));
  };
}

/** Gives up what waits of pages, inside the caller's transaction. */
export function outboxWithdrawer(db: Database): (pages: readonly WithdrawnPage[]) => void {
  const giveUp = db.prepare<[WithdrawnPage]>(
    `UPDATE outbox_messages SET state = 'given-up', failure = @why
     WHERE state = 'waiting' AND page_key = @pageKey`,
  );
  return (pages) => {
    for (const page of pages) giveUp.run(page);
  };
}

function outcomeWriter(db: Database): (outcomes: readonly MessageOutcome[]) => void {
  const settle = db
    .prepare<[MessageOutcome], string>(
      `UPDATE outbox_messages SET
         state = @state, attempts = @attempts, due_at_ms = @dueAtMs,
         handed_over_at_ms = @handedOverAtMs, failure = @failure
       WHERE id = @id AND revision = @revision
         AND (state = 'waiting' OR @state = 'handed-over')
       RETURNING channel`,
    )
    .pluck();
  const noteHandOver = db.prepare<[string, number]>(
    `INSERT INTO channel_hand_overs (channel, at_ms) VALUES (?, ?)
     ON CONFLICT (channel) DO UPDATE SET at_ms = max(at_ms, excluded.at_ms)`,
  );
  const settleAll = db.transaction((outcomes: readonly MessageOutcome[]) => {
    for (const outcome of outcomes) {
      const channel = settle.get(outcome);
      const { handedOverAtMs } = outcome;
      if (channel !== undefined && handedOverAtMs !== null) {
        noteHandOver.run(channel, handedOverAtMs);
      }
    }
  });
  return (outcomes) => settleAll.immediate(outcomes);
}

function rowOf(message: NewMessage): NewMessageRow {
  return {
    id: message.id,
    revision: message.revision,
    page_key: message.pageKey,
    person: message.person,
    contact: message.contact,
    channel: message.channel,
    words: toJson('The words of a message', message.words),
    created_at_ms: message.createdAtMs,
    due_at_ms: message.dueAtMs,
    expires_at_ms: message.expiresAtMs,
  };
}

function messageOf(row: MessageRow): OutboxMessage {
  return {
    id: row.id,
    revision: row.revision,
    pageKey: row.page_key,
    person: row.person,
    contact: row.contact,
    channel: row.channel,
    words: JSON.parse(row.words),
    createdAtMs: row.created_at_ms,
    dueAtMs: row.due_at_ms,
    expiresAtMs: row.expires_at_ms,
    state: row.state,
    attempts: row.attempts,
    handedOverAtMs: row.handed_over_at_ms,
    failure: row.failure,
  };
}
