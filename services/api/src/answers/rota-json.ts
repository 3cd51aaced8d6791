import { type Change, type Rota, reviewRota, reviewSites, type Team } from '@lineside/oncall';
import { alteredBy } from '../on-call/change-effect.ts';
import type { KeptRota } from '../on-call/rota-desk.ts';
import type { ChangeJson, RotaJson } from '../schemas/rota.ts';

/** As far ahead as a gap must be known to be closed in time. */
const REVIEW_AHEAD_MS = 84 * 86_400_000;

/** The rota with what somebody should look at. `sites` are those of the fleet. */
export function rotaJson(
  { generation, rota }: KeptRota,
  sites: readonly string[],
  nowMs: number,
): RotaJson {
  return {
    generation,
    people: rota.people.map(({ id, name }) => ({ id, name })),
    teams: rota.teams.map((team) => ({
      id: team.id,
      name: team.name,
      zone: team.zone,
      members: team.members,
      changes: changesInForce(rota, team, nowMs),
    })),
    notices: [...reviewRota(rota, nowMs, nowMs + REVIEW_AHEAD_MS), ...reviewSites(rota, sites)],
    document: { ...rota },
  };
}

/** Before the first rota was applied. */
export const NO_ROTA: RotaJson = {
  generation: 0,
  people: [],
  teams: [],
  notices: [],
  document: null,
};

/** Covers and swaps that are not called off and not over. */
function changesInForce(rota: Rota, team: Team, nowMs: number): readonly ChangeJson[] {
  const { ahead, all } = alteredBy(rota, team.id, nowMs);
  const today = new Date(nowMs).toISOString().slice(0, 10);
  return team.changes
    .filter(({ calledOff }) => !calledOff)
    .filter((change) => ahead.has(change.id) || (!all.has(change.id) && lastDate(change) >= today))
    .map((change) => changeJson(rota, change));
}

/** By the dates that it names, for one that alters nothing. */
function lastDate(change: Change): string {
  if (change.kind === 'cover') return change.to.slice(0, 10);
  return [change.one.shift, change.other.shift].toSorted().at(-1) ?? '';
}

function changeJson(rota: Rota, change: Change): ChangeJson {
  const { id, kind, call } = change;
  return {
    ...{ id, kind, call },
    words: wordsOf(rota, change),
    people: kind === 'cover' ? [change.for] : [change.one.person, change.other.person],
  };
}

function wordsOf(rota: Rota, change: Change): string {
  const name = (id: string): string => rota.people.find((one) => one.id === id)?.name ?? id;
  if (change.kind === 'cover') {
    const call = change.call === null ? '' : ` on the ${change.call} call`;
    const when = `from ${clock(change.from)} to ${clock(change.to)}`;
    return `${name(change.by)} covers ${name(change.for)}${call} ${when}`;
  }
  const { one, other, call } = change;
  const takes = `${name(one.person)} and ${name(other.person)} swap their ${call} calls`;
  return `${takes} that begin on ${one.shift} and ${other.shift}`;
}

const clock = (dateTime: string): string => dateTime.replace('T', ' ');
