import { parseRota } from './parse-rota-file.ts';
import type { Change, Cover, Rota, Swap, Team } from './rota.ts';
import { teamById } from './shifts.ts';

/** A cover or swap as people state it; what is left out has the defaults of a rota file. */
export type StatedChange = Stated<Cover> | Stated<Swap>;

type Stated<Kind extends Change> = Omit<Kind, 'call' | 'calledOff'> & Partial<Pick<Kind, 'call'>>;

/**
 * The rota after one more cover or swap, agreed after all others.
 *
 * @param change as people stated it; checked like one in a file.
 * @throws WrittenFileError with the place in the rota, `teams[0].changes[3].by`, and what to correct.
 * @throws RangeError for an unknown team.
 */
export function withChange(rota: Rota, teamId: string, change: StatedChange): Rota {
  const team = teamById(rota, teamId);
  const changes: readonly unknown[] = [...team.changes, change];
  const teams = rota.teams.map((one) => (one === team ? { ...one, changes } : one));
  return parseRota({ ...rota, teams }, 'the rota with this change');
}

/**
 * The rota with a cover or swap called off. It stays in the list, so that the calendar of everyone
 * who has seen it learns of it.
 *
 * @throws RangeError for an unknown team, an unknown change or one that is called off already.
 */
export function withCalledOff(rota: Rota, teamId: string, changeId: string): Rota {
  const team = teamById(rota, teamId);
  const wanted = team.changes.find(({ id }) => id === changeId);
  if (wanted === undefined) {
    throw new RangeError(`expected the id of a change of team ${teamId}, found ${changeId}`);
  }
  if (wanted.calledOff) throw new RangeError(`${changeId} of team ${teamId} is called off already`);
  const off = (one: Change): Change => (one === wanted ? { ...one, calledOff: true } : one);
  const changed: Team = { ...team, changes: team.changes.map(off) };
  return { ...rota, teams: rota.teams.map((one) => (one === team ? changed : one)) };
}
