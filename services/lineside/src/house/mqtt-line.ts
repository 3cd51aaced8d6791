import type { Logger } from 'pino';
import type { HouseLine } from './house-line.ts';
import { FarAlerting } from './mqtt/far-alerting.ts';
import { FarIngest, type FarStores } from './mqtt/far-ingest.ts';
import { HouseWire, type WireAddress } from './mqtt/house-wire.ts';
import { Speaker } from './mqtt/speaker.ts';
import { HOUSE_TOPICS } from './mqtt/topics.ts';
import { NearAlerting } from './near-alerting.ts';
import { NearIngest } from './near-ingest.ts';

export interface MqttLineOptions {
  readonly address: WireAddress;
  readonly log: Logger;
  /** Null: ingest is in this process. Else where it is read what was not heard of it. */
  readonly stores: FarStores | null;
  /** Whether alerting is in this process. */
  readonly hasAlerting: boolean;
}

/**
 * The line of a house whose services have processes of their own, over the topics
 * `lineside-house/#` of the broker. Resolves when the stores were read; the broker need not be there.
 */
export async function openMqttLine(options: MqttLineOptions): Promise<HouseLine> {
  const { address, stores, hasAlerting } = options;
  const log = options.log.child({ part: 'house' });
  const wire = new HouseWire(address, log);
  const nearIngest = stores === null ? new NearIngest(log) : null;
  const farIngest = stores === null ? null : new FarIngest(wire, stores, log);
  const nearAlerting = hasAlerting ? new NearAlerting() : null;
  const speaker = nearIngest === null ? null : new Speaker(wire, nearIngest);
  if (nearAlerting !== null) {
    wire.answer(HOUSE_TOPICS.askAlerting, () => nearAlerting.health());
    wire.hear(HOUSE_TOPICS.messages, () => nearAlerting.messagesWait());
  }
  await farIngest?.begin();
  return {
    ingest: nearIngest ?? farIngest ?? absent('ingest'),
    alerting: nearAlerting ?? new FarAlerting(wire),
    bringIngest: (ingest) => {
      (nearIngest ?? absent('ingest')).bring(ingest);
      speaker?.beat();
    },
    bringAlerting: (alerting) => (nearAlerting ?? absent('alerting')).bring(alerting),
    close: async () => {
      speaker?.stop();
      farIngest?.stop();
      await wire.close();
    },
  };
}

function absent(service: string): never {
  throw new Error(`${service} is not of this process`);
}
