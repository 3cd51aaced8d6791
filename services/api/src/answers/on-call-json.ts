import { rfc3339 } from '@lineside/alarms';
import {
  type Call,
  onCallAt,
  type Rota,
  type Shift,
  shiftsBetween,
  type Team,
} from '@lineside/oncall';
import type { CallJson, PersonJson, ShiftJson, TeamOnCallJson } from '../schemas/on-call.ts';

export function shiftJson(rota: Rota, shift: Shift): ShiftJson {
  return {
    id: shift.id,
    team: shift.team,
    call: shift.call,
    kind: shift.kind,
    from: rfc3339(shift.fromMs),
    to: rfc3339(shift.toMs),
    person: personJson(rota, shift.person),
    gap: shift.gap,
    planned: personJson(rota, shift.planned),
    changes: shift.changes,
  };
}

function personJson({ people }: Rota, id: string | null): PersonJson | null {
  if (id === null) return null;
  return { id, name: people.find((person) => person.id === id)?.name ?? id };
}

/** Who has a team's calls at an instant, and who has them next. */
export function teamOnCallJson(rota: Rota, team: Team, atMs: number): TeamOnCallJson {
  const { id, name, zone, sites, takesOtherSites } = team;
  const { first, second } = onCallAt(rota, id, atMs);
  return {
    ...{ id, name, zone, sites, takesOtherSites },
    first: callJson(rota, team, 'first', first),
    second: second === null ? null : callJson(rota, team, 'second', second),
  };
}

function callJson(rota: Rota, { id }: Team, call: Call, now: Shift): CallJson {
  const [next] = shiftsBetween(rota, id, call, now.toMs, now.toMs + 1);
  return {
    now: shiftJson(rota, now),
    next: next === undefined ? null : shiftJson(rota, next),
  };
}
