import type { BrokerUser } from '@lineside/storage';
import type { Admitted } from './admitted.ts';

/** The password file: a line each, hashes only. Nodes that come by certificate have none. */
export function passwordFile(
  { nodes, readers }: Pick<Admitted, 'nodes' | 'readers'>,
  own: BrokerUser,
): string {
  const users = [own, ...readers].map(({ name, mosquittoHash }) => line(name, mosquittoHash));
  const withPassword = nodes.flatMap(({ username, mosquittoHash }) =>
    mosquittoHash === null ? [] : [line(username, mosquittoHash)],
  );
  return [...users, ...withPassword].join('');
}

function line(user: string, hash: string): string {
  return `${user}:${hash}\n`;
}
