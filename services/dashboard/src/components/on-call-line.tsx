import type { VNode } from 'preact';
import type { TeamOnCall } from '../api/types.ts';
import { useNow } from '../state/clock.ts';
import { mayAct, sessionState } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import { weekdayAndTime, zoneName } from '../words/times.ts';
import { useOnCall } from './use-on-call.ts';

/** Teams named in the line; more are a click away. */
const TEAMS_MOST = 4;

/** Who is on call now, in one sentence. */
export function OnCallLine(): VNode | null {
  const { onCall } = useOnCall();
  const allowed = mayAct(useStore(sessionState));
  if (onCall === null) return null;
  const { teams } = onCall;
  if (teams.length === 0) {
    if (!allowed || onCall.office !== null) return null;
    return (
      <p class="on-call-line">
        <a href="#/on-call">Nobody is on call</a>: the server has no rota yet, so pages go to the
        office alone.
      </p>
    );
  }
  const more = teams.length - TEAMS_MOST;
  return (
    <p class="on-call-line">
      <a href="#/on-call">On call now</a>:{' '}
      {teams.slice(0, TEAMS_MOST).map((team, index) => (
        <span key={team.id}>
          {index === 0 ? '' : '; '}
          <TeamNow team={team} withName={teams.length > 1} />
        </span>
      ))}
      {more > 0 ? `; and ${more} more ${more === 1 ? 'team' : 'teams'}` : ''}
    </p>
  );
}

function TeamNow(props: { readonly team: TeamOnCall; readonly withName: boolean }): VNode {
  const { team, withName } = props;
  const nowMs = useNow();
  const { now } = team.first;
  if (now.person === null) {
    return <strong class="nobody">nobody{withName ? ` for ${team.name}` : ''}</strong>;
  }
  const untilMs = Date.parse(now.to);
  return (
    <>
      <strong>{now.person.name}</strong>
      {withName ? ` (${team.name})` : ''} until {weekdayAndTime(untilMs, team.zone, nowMs)}{' '}
      {zoneName(untilMs, team.zone)}
    </>
  );
}
