import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { arrange } from '../api/on-call-client.ts';
import type { ChangeOutcome, Rota, RotaChange, RotaTeam, Shift } from '../api/types.ts';
import { callWords, noteWords, spanWords } from '../order/rota-words.ts';
import { useNow } from '../state/clock.ts';
import { ChoiceField } from './choice-field.tsx';
import { CoverFields } from './cover-fields.tsx';
import { FailureNote } from './failure-note.tsx';
import { SwapFields } from './swap-fields.tsx';
import { useRequest } from './use-request.ts';

/** Arranges a cover or a swap: first what would come of it, then the real thing. */
export function ArrangeChange(props: {
  readonly kind: 'cover' | 'swap';
  readonly rota: Rota;
  readonly shifts: readonly Shift[];
  /** Own id for a technician, who gives away own shifts alone; null for the office. */
  readonly own: string | null;
  readonly onDone: (words: string | null) => void;
}): VNode {
  const { kind, rota, shifts, own, onDone } = props;
  const teams = rota.teams.filter(({ members }) => own === null || members.includes(own));
  const [teamId, setTeamId] = useState(teams[0]?.id ?? '');
  const [change, setChange] = useState<RotaChange | null>(null);
  const [outcome, setOutcome] = useState<ChangeOutcome | null>(null);
  const { busy, failure, run } = useRequest();
  const team = teams.find(({ id }) => id === teamId);
  if (team === undefined) return <p>You are in no team of the rota; ask the service office.</p>;
  const Fields = kind === 'cover' ? CoverFields : SwapFields;
  const state = (next: RotaChange | null): void => {
    setChange(next);
    setOutcome(null);
  };
  const send = (keep: boolean): void => {
    if (change === null) return;
    run(async () => {
      const answer = await arrange(team.id, change, rota.generation, keep);
      if (keep) onDone(kind === 'cover' ? 'The cover is arranged.' : 'The swap is arranged.');
      else setOutcome(answer);
    });
  };
  return (
    <form
      class="service-form arrange"
      onSubmit={(event) => {
        event.preventDefault();
        send(outcome !== null);
      }}
    >
      {teams.length < 2 ? null : (
        <ChoiceField
          label="Team"
          value={teamId}
          choices={teams.map(({ id, name }) => ({ value: id, words: name }))}
          onValue={(id) => {
            setTeamId(id);
            state(null);
          }}
        />
      )}
      <Fields
        key={teamId}
        team={team}
        people={rota.people}
        shifts={shifts.filter((shift) => shift.team === team.id)}
        own={own}
        onChange={state}
      />
      {outcome === null ? null : <Outcome outcome={outcome} team={team} />}
      {failure === null ? null : <FailureNote failure={failure} />}
      <Buttons busy={busy} isReady={change !== null} isTried={outcome !== null} onDone={onDone} />
    </form>
  );
}

function Buttons(props: {
  readonly busy: boolean;
  readonly isReady: boolean;
  readonly isTried: boolean;
  readonly onDone: (words: string | null) => void;
}): VNode {
  const { busy, isReady, isTried, onDone } = props;
  const words = isTried ? 'Arrange it' : 'Show what it changes';
  return (
    <div class="buttons">
      <button type="submit" class="button button-strong" disabled={busy || !isReady}>
        {busy ? 'Asking…' : words}
      </button>
      <button type="button" class="button" onClick={() => onDone(null)}>
        Leave it
      </button>
    </div>
  );
}

function Outcome(props: { readonly outcome: ChangeOutcome; readonly team: RotaTeam }): VNode {
  const { outcome, team } = props;
  const nowMs = useNow();
  return (
    <div class="outcome" role="status">
      <h4 class="minor">Nothing is changed yet. It would be so:</h4>
      <ul>
        {outcome.shifts.map((shift) => (
          <li key={shift.id}>
            <strong>{shift.person?.name ?? 'Nobody'}</strong> has the{' '}
            {callWords(shift.call).toLowerCase()} {spanWords(shift, team.zone, nowMs)}
            {noteWords(shift) === '' ? '' : `, ${noteWords(shift)}`}
          </li>
        ))}
      </ul>
      {outcome.notices.map(({ words }) => (
        <p key={words}>
          <strong>Mind:</strong> {words}
        </p>
      ))}
    </div>
  );
}
