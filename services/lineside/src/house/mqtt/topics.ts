/**
 * Topics by which the processes of one house find each other. Nobody but Lineside's own user at the
 * broker may read or write them.
 */
export const HOUSE_TOPICS = {
  /** Every few seconds: ingest lives, and how many news it has told. */
  beat: 'lineside-house/ingest/beat',
  readings: 'lineside-house/ingest/readings',
  conditions: 'lineside-house/ingest/conditions',
  /** The alarm journal has grown. */
  journal: 'lineside-house/journal',
  /** A service record was added. */
  service: 'lineside-house/service',
  /** A message was put into the outbox. */
  messages: 'lineside-house/messages',
  askIngest: 'lineside-house/ask/ingest',
  askAlerting: 'lineside-house/ask/alerting',
} as const;

/** Where the answers to one process come. */
export function answersTopic(process: string): string {
  return `lineside-house/answers/${process}`;
}
