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

/**
 * Whoever names a fleet file wants it applied.
 *
 * @throws CommandFailure (2) where ingest, which applies it, runs in another process
 */
export function refuseIdleFleetFile(
  roles: ReadonlySet<Role>,
  fleetOption: string | undefined,
): void {
  if (fleetOption === undefined || roles.has('ingest')) return;
  throw new CommandFailure(
    EXIT.badInput,
    '--fleet: ingest applies the fleet file, and this process runs without it; ' +
      "give --fleet to 'lineside serve --only ingest'",
  );
}
