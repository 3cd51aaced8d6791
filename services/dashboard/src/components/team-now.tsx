import type { VNode } from 'preact';
import type { Shift, TeamOnCall } from '../api/types.ts';
import { callWords, noteWords, yourTimeWords } from '../order/rota-words.ts';
import { useNow } from '../state/clock.ts';
import { OWN_ZONE, weekdayAndTime, zoneName } from '../words/times.ts';

/** Who has a team's calls now, until when, and who has them next. */
export function TeamNow(props: {
  readonly team: TeamOnCall;
  readonly siteNames: ReadonlyMap<string, string>;
  readonly own: string | null;
}): VNode {
  const { team, siteNames, own } = props;
  const sites = team.sites.map((site) => siteNames.get(site) ?? site);
  if (team.takesOtherSites) sites.push('all sites that no team names');
  return (
    <section class="group on-call-team">
      <h2>{team.name}</h2>
      <p class="soft">Covers {sites.length === 0 ? 'no site' : sites.join(', ')}</p>
      <dl class="calls">
        <CallNow now={team.first.now} next={team.first.next} zone={team.zone} own={own} />
        {team.second === null ? null : (
          <CallNow now={team.second.now} next={team.second.next} zone={team.zone} own={own} />
        )}
      </dl>
    </section>
  );
}

function CallNow(props: {
  readonly now: Shift;
  readonly next: Shift | null;
  readonly zone: string;
  readonly own: string | null;
}): VNode {
  const { now, next, zone, own } = props;
  const nowMs = useNow();
  const untilMs = Date.parse(now.to);
  const note = noteWords(now);
  const yours = yourTimeWords(untilMs, zone, OWN_ZONE, nowMs);
  return (
    <div class={now.person === null ? 'call call-gap' : 'call'}>
      <dt>{callWords(now.call)}</dt>
      <dd>
        <Who shift={now} own={own} />
        {note === '' ? null : <span class="soft"> {note}</span>}
      </dd>
      <dd>
        until {weekdayAndTime(untilMs, zone, nowMs)} {zoneName(untilMs, zone)}
        {yours === '' ? null : <span class="soft"> ({yours})</span>}
      </dd>
      <dd class="soft">{next === null ? '' : <>then {next.person?.name ?? 'nobody'}</>}</dd>
    </div>
  );
}

/** The person of a shift, or why nobody has it. */
export function Who({ shift, own }: { readonly shift: Shift; readonly own: string | null }): VNode {
  if (shift.person === null) {
    return (
      <>
        <strong class="nobody">Nobody</strong>
        {shift.gap === null ? '' : `: ${shift.gap}`}
      </>
    );
  }
  return (
    <>
      <strong>{shift.person.name}</strong>
      {shift.person.id === own ? ' (you)' : ''}
    </>
  );
}
