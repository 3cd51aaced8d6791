import type { Notice } from './notice.ts';
import type { Rota, Team } from './rota.ts';

/**
 * The team that covers a site: the one that names it, else the one that takes the others, or none.
 */
export function teamOfSite({ teams }: Rota, site: string): Team | null {
  return (
    teams.find(({ sites }) => sites.includes(site)) ??
    teams.find(({ takesOtherSites }) => takesOtherSites) ??
    null
  );
}

/**
 * Which sites of the fleet no team covers, and which sites of the teams the fleet does not have.
 *
 * @param sites ids of all sites of the fleet.
 */
export function reviewSites(rota: Rota, sites: readonly string[]): Notice[] {
  const uncovered = sites.flatMap((site, index) => {
    if (teamOfSite(rota, site) !== null) return [];
    const words =
      `no team covers ${site}, its alarms go to the office at once; ` +
      'add it to the sites of a team, or let one team take other sites';
    return [{ place: `sites[${index}]`, words }];
  });
  const inFleet = new Set(sites);
  const unknown = rota.teams.flatMap((team, teamIndex) =>
    team.sites.flatMap((site, siteIndex) => {
      if (inFleet.has(site)) return [];
      const words = `the fleet has no site ${site}; correct it or take it out`;
      return [{ place: `teams[${teamIndex}].sites[${siteIndex}]`, words }];
    }),
  );
  return [...uncovered, ...unknown];
}
