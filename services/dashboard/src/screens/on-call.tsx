import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import type { OnCall, Rota, Session, Shift } from '../api/types.ts';
import { AlertingHealth } from '../components/alerting-health.tsx';
import { ArrangeChange } from '../components/arrange-change.tsx';
import { CalendarAddress } from '../components/calendar-address.tsx';
import { ChangesInForce } from '../components/changes-in-force.tsx';
import { FailureNote } from '../components/failure-note.tsx';
import { ShiftList } from '../components/shift-list.tsx';
import { TeamNow } from '../components/team-now.tsx';
import { ThisDevice } from '../components/this-device.tsx';
import { useOnCall } from '../components/use-on-call.ts';
import { type PlanState, usePlan } from '../components/use-plan.ts';
import { useNow } from '../state/clock.ts';
import { fleet } from '../state/fleet.ts';
import { loadOnCall } from '../state/on-call.ts';
import { sessionState } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import { OWN_ZONE, weekdayAndTime } from '../words/times.ts';

type Person = Session['person'];

/** Who is on call, what is arranged, and how whoever looks is paged. */
export function OnCallScreen(): VNode | null {
  const session = useStore(sessionState);
  return session.state === 'signed-in' ? <OnCallOf person={session.session.person} /> : null;
}

function OnCallOf({ person }: { readonly person: Person }): VNode {
  const nowMs = useNow();
  const { onCall, failure } = useOnCall();
  const planState = usePlan(person.role !== 'viewer');
  // Buttons that somebody reaches for must not move away when what stands above them comes in.
  const isAboveInPlace =
    (onCall !== null || failure !== null) &&
    (planState.plan !== null || planState.failure !== null);
  return (
    <>
      <div class="title">
        <h1>On call</h1>
        <p class="soft">{weekdayAndTime(nowMs, OWN_ZONE, nowMs)} by your clock</p>
      </div>
      {failure === null ? null : (
        <FailureNote failure={failure} onRetry={() => void loadOnCall()} />
      )}
      {onCall === null ? <p class="soft">Reading who is on call…</p> : null}
      {onCall === null ? null : <Teams onCall={onCall} person={person} planState={planState} />}
      {person.role !== 'viewer' && isAboveInPlace ? (
        <div class="on-call-own">
          <ThisDevice username={person.username} displayName={person.displayName} />
          <CalendarAddress />
          <AlertingHealth />
        </div>
      ) : null}
    </>
  );
}

function Teams(props: {
  readonly onCall: OnCall;
  readonly person: Person;
  readonly planState: PlanState;
}): VNode {
  const { onCall, person, planState } = props;
  const units = useStore(fleet, ({ units }) => units);
  const siteNames = new Map([...units.values()].map((unit) => [unit.site, unit.siteName]));
  const own = ownId(onCall, person);
  if (onCall.teams.length === 0) {
    return (
      <p class="empty">
        {onCall.office === null
          ? 'The server has no rota yet, so nobody is on call and pages go to the office alone. ' +
            'Whoever runs the server starts it with a rota file.'
          : 'No team covers your sites; the office is asked at once.'}
      </p>
    );
  }
  return (
    <>
      {onCall.teams.map((team) => (
        <TeamNow key={team.id} team={team} siteNames={siteNames} own={own} />
      ))}
      <p class="soft on-call-end">When nobody of a team answers: {onCall.office}.</p>
      <Coming onCall={onCall} person={person} own={own} planState={planState} />
    </>
  );
}

/** The person's id where it appears; user names are compared without case. */
function ownId({ teams }: OnCall, { username }: Person): string {
  const shown = teams.flatMap(({ first, second }) => [
    ...[first.now, first.next, second?.now, second?.next].map((shift) => shift?.person?.id),
  ]);
  const folded = username.toLowerCase();
  return shown.find((id) => id?.toLowerCase() === folded) ?? username;
}

function Coming(props: {
  readonly onCall: OnCall;
  readonly person: Person;
  readonly own: string;
  readonly planState: PlanState;
}): VNode {
  const { onCall, person, own } = props;
  const { plan, failure, read } = props.planState;
  return (
    <>
      {failure === null ? null : <FailureNote failure={failure} onRetry={read} />}
      {plan?.rota == null ? null : (
        <Arrangements
          rota={plan.rota}
          shifts={plan.shifts}
          own={person.role === 'office' ? null : own}
          onChanged={() => {
            read();
            void loadOnCall();
          }}
        />
      )}
      {plan === null ? null : (
        <section class="group">
          <h2>The coming six weeks</h2>
          {onCall.teams.map((team) => (
            <div key={team.id} class="team-plan">
              <h3>{team.name}</h3>
              <ShiftList
                shifts={plan.shifts.filter((shift) => shift.team === team.id)}
                zone={team.zone}
                own={own}
              />
            </div>
          ))}
        </section>
      )}
    </>
  );
}

function Arrangements(props: {
  readonly rota: Rota;
  readonly shifts: readonly Shift[];
  readonly own: string | null;
  readonly onChanged: () => void;
}): VNode {
  const { rota, shifts, own, onChanged } = props;
  const [open, setOpen] = useState<'cover' | 'swap' | null>(null);
  const [said, setSaid] = useState('');
  const done = (words: string | null): void => {
    setOpen(null);
    setSaid(words ?? '');
    if (words !== null) onChanged();
  };
  return (
    <section class="group arrangements">
      <h2>Cover and swaps</h2>
      <p role="status">{said}</p>
      {open === null ? (
        <div class="buttons">
          <button type="button" class="button" onClick={() => setOpen('cover')}>
            Arrange cover
          </button>
          <button type="button" class="button" onClick={() => setOpen('swap')}>
            Swap two shifts
          </button>
        </div>
      ) : (
        <ArrangeChange kind={open} rota={rota} shifts={shifts} own={own} onDone={done} />
      )}
      <ChangesInForce rota={rota} own={own} onDone={done} />
      {rota.notices.length === 0 ? null : (
        <>
          <h3>Worth a look</h3>
          <ul class="notices">
            {rota.notices.map(({ place, words }) => (
              <li key={`${place} ${words}`}>{words}</li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
