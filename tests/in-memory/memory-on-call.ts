import type { ContactPoint, OnCallRecords } from '@lineside/storage';
import { CHANNEL_KINDS } from '@lineside/storage';
import { asJson, badInput, checkTimes } from './port-rules.ts';
import { conflict, type RecordDisk } from './record-disk.ts';
import type { Synchronous } from './store-lane.ts';

export function memoryOnCall(disk: RecordDisk): Synchronous<OnCallRecords> {
  return {
    loadRota: () => {
      const { rota } = disk;
      return rota === null ? null : { ...rota, document: JSON.parse(rota.document) };
    },
    saveRota: (document, basedOn) => {
      const stored = disk.rota?.generation ?? 0;
      if (stored !== basedOn) throw conflict(`the rota is at ${stored}, not ${basedOn}`);
      disk.rota = { generation: stored + 1, document: asJson('The rota', document) };
    },
    contactPoints: () =>
      [...disk.contacts.values()].sort((one, other) => (one.id < other.id ? -1 : 1)),
    setContactPoint: (contact) => {
      checkContact(contact);
      const address: unknown = JSON.parse(asJson('An address', contact.address));
      disk.contacts.set(contact.id, { ...contact, address });
    },
    removeContactPoint: (id) => {
      disk.contacts.delete(id);
    },
    secretOr: (name, fallback) => {
      if (name === '') throw badInput('a secret needs a name');
      const secret = disk.secrets.get(name) ?? fallback;
      disk.secrets.set(name, secret);
      return secret;
    },
  };
}

function checkContact({ id, channel, createdAtMs, origin }: ContactPoint): void {
  if (!/^[A-Za-z0-9_.-]{1,64}$/.test(id)) throw badInput(`${id} is no id of a contact point`);
  if (!CHANNEL_KINDS.includes(channel)) throw badInput(`${channel} is no channel`);
  if (origin !== 'file' && origin !== 'device') throw badInput(`${origin} is no origin`);
  checkTimes('A contact point', createdAtMs);
}
