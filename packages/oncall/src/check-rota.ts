import { firstTeamMistake } from './check-team.ts';
import { firstOf, idTwice, type Mistake } from './mistake.ts';
import type { HolidayCalendar, Rota } from './rota.ts';

/** The first thing in a rota that contradicts another one, in the order of the file; or null. */
export function firstMistake(rota: Rota): Mistake | null {
  return (
    idTwice(rota.people, ['people']) ??
    idTwice(rota.holidays, ['holidays']) ??
    firstOf(rota.holidays, (calendar, index) =>
      daysMistake(calendar, ['holidays', index, 'days']),
    ) ??
    idTwice(rota.teams, ['teams']) ??
    firstOf(rota.teams, (team, index) => firstTeamMistake(rota, team, ['teams', index])) ??
    siteTwice(rota) ??
    secondTakesOthers(rota)
  );
}

function daysMistake({ days }: HolidayCalendar, path: readonly PropertyKey[]): Mistake | null {
  let last = '';
  return firstOf(days, (day, index) => {
    if (day.lastDate < day.date) {
      const words = `expected ${day.date} or later, found ${day.lastDate}`;
      return { path: [...path, index, 'lastDate'], words };
    }
    if (day.date <= last) {
      const words = `expected a date after ${last}, where the holiday before it ends`;
      return { path: [...path, index, 'date'], words: `${words}, found ${day.date}` };
    }
    last = day.lastDate;
    return null;
  });
}

function siteTwice({ teams }: Rota): Mistake | null {
  const coveredBy = new Map<string, string>();
  return firstOf(teams, (team, teamIndex) =>
    firstOf(team.sites, (site, siteIndex) => {
      const other = coveredBy.get(site);
      coveredBy.set(site, team.id);
      if (other === undefined) return null;
      const words = `expected a site of one team, found ${site}, which team ${other} covers`;
      return { path: ['teams', teamIndex, 'sites', siteIndex], words };
    }),
  );
}

function secondTakesOthers({ teams }: Rota): Mistake | null {
  const takers = teams.filter((team) => team.takesOtherSites);
  const [one, second] = takers;
  if (one === undefined || second === undefined) return null;
  const path = ['teams', teams.indexOf(second), 'takesOtherSites'];
  return { path, words: `expected one team at most, team ${one.id} takes the other sites already` };
}
