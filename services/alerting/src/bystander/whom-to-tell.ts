import { onCallAt } from '@lineside/oncall';
import type { ChannelKind, ContactPoint } from '@lineside/storage';
import type { Logger } from 'pino';
import { OnCallBook, type OnCallBookRecords } from '../oncall/on-call-book.ts';
import { CONTACTS_MOST, type ToldContact } from './pipe-lines.ts';

/**
 * Contact points that hear when alerting itself stops: the office's, and those of whoever has first
 * call of any team now. When these are none, everybody's.
 *
 * @param hasChannel whether something can be handed over this way at all.
 */
export function createWhomToTell(
  records: OnCallBookRecords,
  hasChannel: (kind: ChannelKind) => boolean,
  log: Pick<Logger, 'warn' | 'error'>,
): (nowMs: number) => Promise<readonly ToldContact[]> {
  const book = new OnCallBook(records, hasChannel, log);
  return async (nowMs) => {
    const { rota, contacts } = await book.now();
    const onCall = new Set(rota.teams.map(({ id }) => onCallAt(rota, id, nowMs).first.person));
    const isTold = ({ person }: ContactPoint): boolean => person === null || onCall.has(person);
    const told = contacts.filter(isTold);
    return (told.length > 0 ? told : contacts)
      .slice(0, CONTACTS_MOST)
      .map(({ id, channel, address }) => ({ id, channel, address }));
  };
}
