import type {
  AlertingRecords,
  AlertingStep,
  MessageOutcome,
  NewMessage,
  NewPageLink,
  OutboxMessage,
  PageLink,
} from '@lineside/storage';
import { CHANNEL_KINDS, MESSAGE_STATES } from '@lineside/storage';
import { asJson, badInput, checkLimit, checkTimes, pageOf } from './port-rules.ts';
import { conflict, type RecordDisk } from './record-disk.ts';
import type { SavedAlerting } from './saved-alerting.ts';
import type { Synchronous } from './store-lane.ts';

export function memoryAlerting({ alerting }: RecordDisk): Synchronous<AlertingRecords> {
  return {
    alertingState: () => {
      const { generation, journalThrough, paging, asks } = alerting;
      if (generation === 0) return null;
      const sorted = [...asks].sort(([one], [other]) => (one < other ? -1 : 1));
      return {
        generation,
        journalThrough,
        paging: JSON.parse(paging),
        asks: sorted.map(([alarmId, ask]) => ({ alarmId, ask: JSON.parse(ask) })),
      };
    },
    commitAlerting: (step) => commitStep(alerting, step),
    addMessages: (messages) => {
      const waiting = messages.map(waitingMessage);
      for (const message of waiting) alerting.messages.set(message.id, message);
    },
    ...memoryOutbox(alerting),
    pageLink: (id) => alerting.links.get(id) ?? null,
    bindPageLink: (id, deviceHash, nowMs) => {
      const link = alerting.links.get(id);
      if (link === undefined || link.expiresAtMs <= nowMs) return null;
      const bound = link.deviceHash ?? deviceHash;
      alerting.links.set(id, { ...link, deviceHash: bound });
      return bound;
    },
  };
}

/** Checks all of the step first, so that nothing of it is kept when some of it cannot be. */
function commitStep(alerting: SavedAlerting, step: AlertingStep): void {
  if (step.basedOn !== alerting.generation) {
    throw conflict(`alerting is at generation ${alerting.generation}, not ${step.basedOn}`);
  }
  checkTimes('A step', step.journalThrough);
  if (step.journalThrough < 0) throw badInput('the journal starts at 0');
  const paging = asJson('What paging keeps', step.paging);
  const asks = step.asks.map(({ alarmId, ask }) => {
    if (alarmId === '') throw badInput('an ask needs the id of its alarm');
    return { alarmId, ask: asJson('An ask', ask) };
  });
  const messages = step.messages.map(waitingMessage);
  const links = step.links.map((link) => savedLink(link, alerting.links.get(link.id)));
  alerting.generation += 1;
  alerting.journalThrough = step.journalThrough;
  alerting.paging = paging;
  for (const { alarmId, ask } of asks) alerting.asks.set(alarmId, ask);
  for (const alarmId of step.forgotten) alerting.asks.delete(alarmId);
  giveUp(alerting, step.withdrawn);
  for (const message of messages) alerting.messages.set(message.id, message);
  for (const link of links) alerting.links.set(link.id, link);
}

function giveUp(alerting: SavedAlerting, withdrawn: AlertingStep['withdrawn']): void {
  const whyOf = new Map(withdrawn.map(({ pageKey, why }) => [pageKey, why]));
  for (const message of [...alerting.messages.values()]) {
    const why = whyOf.get(message.pageKey);
    if (why === undefined || message.state !== 'waiting') continue;
    alerting.messages.set(message.id, { ...message, state: 'given-up', failure: why });
  }
}

type OutboxPart = Pick<
  Synchronous<AlertingRecords>,
  | 'messagesDue'
  | 'nextMessageDueMs'
  | 'settleMessages'
  | 'messages'
  | 'lastHandedOver'
  | 'forgetMessagesBefore'
>;

function memoryOutbox(alerting: SavedAlerting): OutboxPart {
  const waiting = () =>
    [...alerting.messages.values()]
      .filter(({ state }) => state === 'waiting')
      .sort((one, other) => one.dueAtMs - other.dueAtMs || (one.id < other.id ? -1 : 1));
  return {
    messagesDue: (nowMs, limit) => {
      checkLimit(limit);
      return waiting()
        .filter(({ dueAtMs }) => dueAtMs <= nowMs)
        .slice(0, limit);
    },
    nextMessageDueMs: () => waiting()[0]?.dueAtMs ?? null,
    settleMessages: (outcomes) => {
      for (const outcome of outcomes) checkOutcome(outcome);
      for (const outcome of outcomes) settle(alerting, outcome);
    },
    messages: (query) =>
      pageOf('messages', query, [...alerting.messages.values()], ({ createdAtMs, id }) => ({
        key: createdAtMs,
        id,
      })),
    lastHandedOver: () =>
      [...alerting.handedOver]
        .map(([channel, atMs]) => ({ channel, atMs }))
        .sort((one, other) => (one.channel < other.channel ? -1 : 1)),
    forgetMessagesBefore: (atMs) => {
      for (const { id, state, createdAtMs } of [...alerting.messages.values()]) {
        if (state !== 'waiting' && createdAtMs < atMs) alerting.messages.delete(id);
      }
      for (const { id, expiresAtMs } of [...alerting.links.values()]) {
        if (expiresAtMs < atMs) alerting.links.delete(id);
      }
    },
  };
}

function settle(alerting: SavedAlerting, outcome: MessageOutcome): void {
  const message = alerting.messages.get(outcome.id);
  if (message === undefined || message.revision !== outcome.revision) return;
  const { state, attempts, dueAtMs, handedOverAtMs, failure } = outcome;
  if (message.state !== 'waiting' && state !== 'handed-over') return;
  const settled = { ...message, state, attempts, dueAtMs, handedOverAtMs, failure };
  alerting.messages.set(message.id, settled);
  if (handedOverAtMs === null) return;
  const before = alerting.handedOver.get(message.channel) ?? handedOverAtMs;
  alerting.handedOver.set(message.channel, Math.max(before, handedOverAtMs));
}

function checkOutcome({ state, attempts, dueAtMs, handedOverAtMs }: MessageOutcome): void {
  if (!MESSAGE_STATES.includes(state)) throw badInput(`${state} is no state of a message`);
  checkTimes('An outcome', attempts, dueAtMs, handedOverAtMs);
  if (attempts < 0) throw badInput(`${attempts} attempts cannot be`);
}

function waitingMessage(message: NewMessage): OutboxMessage {
  const { id, revision, pageKey, channel, createdAtMs, dueAtMs, expiresAtMs } = message;
  if (!/^[A-Za-z0-9_.-]{1,128}$/.test(id)) throw badInput(`${id} is no id of a message`);
  checkPageKey(pageKey);
  if (!CHANNEL_KINDS.includes(channel)) throw badInput(`${channel} is no channel`);
  checkTimes('A message', revision, createdAtMs, dueAtMs, expiresAtMs);
  const words: unknown = JSON.parse(asJson('The words of a message', message.words));
  const fresh = { state: 'waiting', attempts: 0, handedOverAtMs: null, failure: null } as const;
  return { ...message, words, ...fresh };
}

function savedLink(link: NewPageLink, before: PageLink | undefined): PageLink {
  if (link.id === '') throw badInput('a link needs an id');
  checkPageKey(link.pageKey);
  checkTimes('A link', link.createdAtMs, link.expiresAtMs);
  return { ...link, alarmIds: [...link.alarmIds], deviceHash: before?.deviceHash ?? null };
}

function checkPageKey(pageKey: string): void {
  if (!/^[a-z0-9-]{1,32}$/.test(pageKey)) throw badInput(`${pageKey} is no key of a page`);
}
