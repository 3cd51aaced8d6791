import { presenceTopic, telemetryTopic } from '@lineside/readings';
import type { BrokerUser } from '@lineside/storage';
import { type Admitted, OWN_USER } from './admitted.ts';

const HEADER = `# Who may do what. Written by 'lineside broker files': changes by hand are lost.
# What no line allows is denied. A node of MQTT 3.1.1 is not told of it: what it publishes
# elsewhere is acknowledged and dropped.
`;

/**
 * The access-rules file. Each node has lines of its own rather than one pattern for all: a pattern
 * also holds for a unit that left the fleet and still has a certificate.
 */
export function accessRules({ nodes, readers }: Pick<Admitted, 'nodes' | 'readers'>): string {
  const own = block(OWN_USER, ['readwrite lineside/#', 'readwrite lineside-house/#']);
  const blocks = [
    ...readers.map((reader) => block(reader.name, readableTopics(reader))),
    ...nodes.map(({ username }) => block(username, nodeTopics(username))),
  ];
  return [HEADER, own, ...blocks].join('\n');
}

function nodeTopics(username: string): readonly string[] {
  const [site = '', unit = ''] = username.split('/');
  return [`write ${telemetryTopic(site, unit)}`, `write ${presenceTopic(site, unit)}`];
}

function readableTopics({ sites }: BrokerUser): readonly string[] {
  return (sites ?? ['+']).map((site) => `read lineside/${site}/+/alarm/+`);
}

function block(user: string, topics: readonly string[]): string {
  return `user ${user}\n${topics.map((topic) => `topic ${topic}\n`).join('')}`;
}
