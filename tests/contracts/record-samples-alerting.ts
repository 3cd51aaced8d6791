import type {
  AlarmVerdict,
  AlertingStep,
  ContactPoint,
  MessageOutcome,
  NewMessage,
  NewPageLink,
  RecordStore,
  UnitHold,
} from '@lineside/storage';
import { FIRST_PAGE, MINUTE_MS, NOW_MS, SITE, UNIT } from './record-constants.ts';

export function message(id: string, changed: Partial<NewMessage> = {}): NewMessage {
  return {
    id,
    revision: 1,
    pageKey: 'page-1',
    person: 'ana',
    contact: 'ana-phone',
    channel: 'web-push',
    words: { headline: 'Feuchte – prüfen', alarms: ['a1'], shown: null },
    createdAtMs: NOW_MS,
    dueAtMs: NOW_MS,
    expiresAtMs: NOW_MS + 60 * MINUTE_MS,
    ...changed,
  };
}

export function link(id: string, changed: Partial<NewPageLink> = {}): NewPageLink {
  return {
    id,
    pageKey: 'page-1',
    person: 'ana',
    alarmIds: ['a1', 'a2'],
    createdAtMs: NOW_MS,
    expiresAtMs: NOW_MS + 60 * MINUTE_MS,
    ...changed,
  };
}

/** A step that changes nothing but what is said. */
export function step(basedOn: number, changed: Partial<AlertingStep> = {}): AlertingStep {
  return {
    basedOn,
    journalThrough: basedOn + 1,
    paging: { pages: [] },
    asks: [],
    forgotten: [],
    withdrawn: [],
    messages: [],
    links: [],
    ...changed,
  };
}

/** The message was handed over at its first attempt. */
export function handedOver(id: string, changed: Partial<MessageOutcome> = {}): MessageOutcome {
  return {
    id,
    revision: 1,
    state: 'handed-over',
    attempts: 1,
    dueAtMs: NOW_MS,
    handedOverAtMs: NOW_MS + 1,
    failure: null,
    ...changed,
  };
}

export function contact(id: string, changed: Partial<ContactPoint> = {}): ContactPoint {
  return {
    id,
    person: 'ana',
    channel: 'e-mail',
    name: 'mail of Ana',
    address: { to: 'ana@lift-and-cool.example', tags: ['ü', null] },
    createdAtMs: NOW_MS,
    origin: 'file',
    ...changed,
  };
}

export function hold(id: string, changed: Partial<UnitHold> = {}): UnitHold {
  return {
    site: SITE,
    unit: UNIT,
    id,
    kind: 'maintenance',
    owner: 'rosa',
    reason: 'disconnect is replaced – täglich',
    fromMs: NOW_MS,
    untilMs: NOW_MS + 60 * MINUTE_MS,
    endedAtMs: null,
    endedBy: null,
    ...changed,
  };
}

export function verdict(alarmId: string, changed: Partial<AlarmVerdict> = {}): AlarmVerdict {
  return {
    alarmId,
    verdict: 'true',
    found: 'wet fuse block – grün',
    cause: 'condensation',
    by: 'rosa',
    atMs: NOW_MS,
    ...changed,
  };
}

/** Something in every corner of what alerting, on-call work and alarms' lives keep. */
export async function fillAlerting(store: RecordStore): Promise<void> {
  await store.commitAlerting(
    step(0, {
      journalThrough: 2,
      paging: { pages: [{ key: 'page-1', since: NOW_MS }] },
      asks: [{ alarmId: 'a1', ask: { stage: 2, asked: ['ana'] } }],
      messages: [message('m1'), message('m2', { dueAtMs: NOW_MS + 5 })],
      links: [link('l1'), link('l2')],
    }),
  );
  await store.settleMessages([handedOver('m1')]);
  await store.bindPageLink('l1', 'hash of a device', NOW_MS);
  await store.saveRota({ turns: ['ana', 'rosa'] }, 0);
  await store.setContactPoint(contact('c1'));
  await store.setContactPoint(contact('c2', { person: null, origin: 'device' }));
  await store.secretOr('push', 'the first secret');
  await store.addUnitHold(hold('h1'));
  await store.addUnitHold(hold('h2', { fromMs: NOW_MS + 1 }));
  await store.endUnitHold('h2', NOW_MS + 2, 'ana');
  await store.setVerdict(verdict('a1'));
}

/** Everything that `fillAlerting` wrote, as the ports give it back. */
export async function alertingContents(
  store: RecordStore,
): Promise<Readonly<Record<string, unknown>>> {
  return {
    state: await store.alertingState(),
    due: await store.messagesDue(NOW_MS + MINUTE_MS, 10),
    nextDueMs: await store.nextMessageDueMs(),
    messages: await store.messages(FIRST_PAGE),
    handedOver: await store.lastHandedOver(),
    links: [await store.pageLink('l1'), await store.pageLink('l2')],
    rota: await store.loadRota(),
    contacts: await store.contactPoints(),
    secret: await store.secretOr('push', 'another secret'),
    holdsNow: await store.unitHoldsAt(NOW_MS),
    holds: await store.unitHolds({ site: SITE, unit: UNIT, ...FIRST_PAGE }),
    verdicts: await store.verdicts(FIRST_PAGE),
    verdictsOf: await store.verdictsOf('a1'),
  };
}
