import type { Fleet } from '@lineside/fleet';
import { WEATHER_UNIT } from '@lineside/readings';
import type { BrokerUser, NodeCredential, UnitRef } from '@lineside/storage';

/** A node that an outside broker lets in; null: by its client certificate alone. */
interface AdmittedNode {
  /** `<site>/<unit>` */
  readonly username: string;
  readonly mosquittoHash: string | null;
}

/** Who is let in by an outside broker, and who is not though somebody might expect it. */
export interface Admitted {
  /** By user name. */
  readonly nodes: readonly AdmittedNode[];
  readonly readers: readonly BrokerUser[];
  /** Have a sign-in from before hashes for Mosquitto were kept: `<site>/<unit>` each. */
  readonly withoutHash: readonly string[];
  /** Have a sign-in but are in the fleet no more, or not yet. */
  readonly notInFleet: readonly string[];
  /** In the fleet, with neither password nor certificate to come in by. */
  readonly withoutSignIn: readonly string[];
}

export interface AdmissionParts {
  readonly fleet: Fleet;
  readonly credentials: readonly NodeCredential[];
  readonly revoked: readonly UnitRef[];
  readonly users: readonly BrokerUser[];
  /** Whether nodes may come in by a certificate, which leaves no trace in the records. */
  readonly certificates: boolean;
}

/** The user name of Lineside's own processes. */
export const OWN_USER = 'lineside';

/** Units of the fleet that are not retired, and the outdoor station of each site. */
export function admitted(parts: AdmissionParts): Admitted {
  const inFleet = fleetUsernames(parts.fleet);
  const byName = new Map(parts.credentials.map((one) => [one.username, one]));
  const revoked = new Set(parts.revoked.map(({ site, unit }) => `${site}/${unit}`));
  const nodes: AdmittedNode[] = [];
  const withoutHash: string[] = [];
  const withoutSignIn: string[] = [];
  for (const username of inFleet) {
    const credential = byName.get(username);
    const mosquittoHash = credential?.mosquittoHash ?? null;
    if (credential !== undefined && mosquittoHash === null) withoutHash.push(username);
    const byCertificate = parts.certificates && !revoked.has(username);
    if (mosquittoHash !== null || byCertificate) nodes.push({ username, mosquittoHash });
    else if (credential === undefined) withoutSignIn.push(username);
  }
  return {
    nodes,
    readers: parts.users.filter(({ name }) => name !== OWN_USER),
    withoutHash,
    notInFleet: [...byName.keys()].filter((username) => !inFleet.has(username)),
    withoutSignIn,
  };
}

function fleetUsernames(fleet: Fleet): ReadonlySet<string> {
  const stations = fleet.sites.map(({ id }) => `${id}/${WEATHER_UNIT}`);
  const units = fleet.units
    .filter(({ retired }) => !retired)
    .map(({ site, id }) => `${site}/${id}`);
  return new Set([...stations, ...units].sort());
}
