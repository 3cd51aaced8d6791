import type { Database } from 'better-sqlite3';
import type { AlertingRecords, AlertingState, AlertingStep } from '../../ports/alerting-records.ts';
import { StoreError } from '../../ports/store-error.ts';
import { toJson } from './json-column.ts';
import { outboxRecords, outboxWithdrawer, outboxWriter } from './outbox-records.ts';
import { pageLinkRecords, pageLinkWriter } from './page-link-records.ts';
import type { Synchronous } from './synchronous.ts';

interface StateRow {
  readonly generation: number;
  readonly journal_through: number;
}

interface AskRow {
  readonly alarm_id: string;
  readonly ask: string;
}

export function alertingRecords(db: Database): Synchronous<AlertingRecords> {
  const outbox = outboxRecords(db);
  const add = db.transaction(outboxWriter(db));
  const forgetLinks = db.prepare<[number]>('DELETE FROM page_links WHERE expires_at_ms < ?');
  const forget = db.transaction((atMs: number) => {
    outbox.forgetSettledBefore(atMs);
    forgetLinks.run(atMs);
  });
  const { messagesDue, nextMessageDueMs, settleMessages, messages, lastHandedOver } = outbox;
  return {
    alertingState: stateReader(db),
    commitAlerting: stepWriter(db),
    addMessages: (messages) => add.immediate(messages),
    messagesDue,
    nextMessageDueMs,
    settleMessages,
    messages,
    lastHandedOver,
    forgetMessagesBefore: (atMs) => forget.immediate(atMs),
    ...pageLinkRecords(db),
  };
}

function stateReader(db: Database): () => AlertingState | null {
  const state = db.prepare<[], StateRow>('SELECT * FROM alerting_state');
  const paging = db.prepare<[], string>('SELECT document FROM alerting_paging').pluck();
  const asks = db.prepare<[], AskRow>('SELECT * FROM alerting_asks ORDER BY alarm_id');
  // One transaction: another program may commit a step between two of these reads.
  const read = db.transaction((): AlertingState | null => {
    const row = state.get();
    if (row === undefined) return null;
    return {
      generation: row.generation,
      journalThrough: row.journal_through,
      paging: JSON.parse(paging.get() ?? 'null'),
      asks: asks.all().map(({ alarm_id: alarmId, ask }) => ({ alarmId, ask: JSON.parse(ask) })),
    };
  });
  return () => read();
}

function stepWriter(db: Database): (step: AlertingStep) => void {
  const putMessages = outboxWriter(db);
  const withdraw = outboxWithdrawer(db);
  const putLinks = pageLinkWriter(db);
  const generation = db.prepare<[], number>('SELECT generation FROM alerting_state').pluck();
  const putState = db.prepare<[number, number]>(
    `INSERT INTO alerting_state (id, generation, journal_through) VALUES (1, ?, ?)
     ON CONFLICT (id) DO UPDATE SET
       generation = excluded.generation, journal_through = excluded.journal_through`,
  );
  // Comparing costs less than writing the same again, and most is the same as before.
  const putPaging = db.prepare<[string]>(
    `INSERT INTO alerting_paging (id, document) VALUES (1, ?)
     ON CONFLICT (id) DO UPDATE SET document = excluded.document
     WHERE document <> excluded.document`,
  );
  const putAsk = db.prepare<[string, string]>(
    `INSERT INTO alerting_asks (alarm_id, ask) VALUES (?, ?)
     ON CONFLICT (alarm_id) DO UPDATE SET ask = excluded.ask WHERE ask <> excluded.ask`,
  );
  const forgetAsk = db.prepare<[string]>('DELETE FROM alerting_asks WHERE alarm_id = ?');
  const commit = db.transaction((step: AlertingStep) => {
    const stored = generation.get() ?? 0;
    if (stored !== step.basedOn) throw otherStep(stored, step.basedOn);
    putState.run(stored + 1, step.journalThrough);
    putPaging.run(toJson('What paging keeps', step.paging));
    for (const { alarmId, ask } of step.asks) putAsk.run(alarmId, toJson('An ask', ask));
    for (const alarmId of step.forgotten) forgetAsk.run(alarmId);
    withdraw(step.withdrawn);
    putMessages(step.messages);
    putLinks(step.links);
  });
  return (step) => commit.immediate(step);
}

function otherStep(stored: number, basedOn: number): StoreError {
  const message =
    `Alerting is at generation ${stored}, this step was based on ${basedOn}: ` +
    'read the state again and decide anew';
  return new StoreError('STORE_CONFLICT', message);
}
