import { CommandFailure, EXIT } from '../failure.ts';

/** The services, each of which may have a process of its own, in the order in which they start. */
export const ROLES = ['ingest', 'api', 'alerting'] as const;
export type Role = (typeof ROLES)[number];

/** What `--only` names; nothing named is all of it. @throws CommandFailure (2) */
export function rolesFrom(only: readonly string[]): ReadonlySet<Role> {
  if (only.length === 0) return new Set(ROLES);
  return new Set(only.map(roleFrom));
}

function roleFrom(text: string): Role {
  const role = ROLES.find((one) => one === text);
  if (role !== undefined) return role;
  throw new CommandFailure(
    EXIT.badInput,
    `--only: expected one of ${ROLES.join(', ')}, found '${text}'`,
  );
}
