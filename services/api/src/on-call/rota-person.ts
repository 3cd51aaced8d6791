import { type Person, type Rota, type Team, teamOfSite } from '@lineside/oncall';
import type { Principal } from '../auth/principal.ts';

/**
 * The person of the rota who signed in: a person's id is the user name. User names are compared
 * without case, as at sign-in. Null for tokens and for who takes no shifts.
 */
export function rotaPerson(rota: Rota, principal: Principal): Person | null {
  if (principal.session === null) return null;
  return personNamed(rota, principal.name);
}

export function personNamed({ people }: Rota, username: string): Person | null {
  const folded = username.toLowerCase();
  return people.find(({ id }) => id.toLowerCase() === folded) ?? null;
}

/** The teams that somebody may see: all, or for a viewer those that cover one of its sites. */
export function visibleTeams(rota: Rota, { sites }: Principal): readonly Team[] {
  if (sites === null) return rota.teams;
  const covering = new Set(sites.map((site) => teamOfSite(rota, site)));
  return rota.teams.filter((team) => covering.has(team));
}
