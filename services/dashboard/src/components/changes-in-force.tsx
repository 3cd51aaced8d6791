import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { callOff } from '../api/on-call-client.ts';
import type { Rota } from '../api/types.ts';
import { FailureNote } from './failure-note.tsx';
import { useRequest } from './use-request.ts';

/** Covers and swaps that are arranged and not over. */
export function ChangesInForce(props: {
  readonly rota: Rota;
  readonly own: string | null;
  readonly onDone: (words: string) => void;
}): VNode {
  const { rota, own, onDone } = props;
  const all = rota.teams.flatMap((team) => team.changes.map((change) => ({ team, change })));
  if (all.length === 0) return <p class="soft">No cover and no swap is arranged.</p>;
  return (
    <ul class="plain-list">
      {all.map(({ team, change }) => (
        <li key={`${team.id} ${change.id}`}>
          <p>
            {change.words} <span class="soft">({team.name})</span>
          </p>
          {own === null || change.people.includes(own) ? (
            <CallOffButton
              words={change.words}
              request={() => callOff(team.id, change.id, rota.generation)}
              onDone={onDone}
            />
          ) : null}
        </li>
      ))}
    </ul>
  );
}

/** Asks once more: whoever covers relies on it. */
function CallOffButton(props: {
  readonly words: string;
  readonly request: () => Promise<void>;
  readonly onDone: (words: string) => void;
}): VNode {
  const [isSure, setIsSure] = useState(false);
  const { busy, failure, run } = useRequest();
  const callItOff = async (): Promise<void> => {
    await props.request();
    props.onDone('It is called off.');
  };
  return (
    <div class="buttons">
      <button
        type="button"
        class={isSure ? 'button button-strong' : 'button'}
        disabled={busy}
        aria-label={`${isSure ? 'Yes, call it off' : 'Call it off'}: ${props.words}`}
        onClick={() => (isSure ? run(callItOff) : setIsSure(true))}
      >
        {isSure ? 'Yes, call it off' : 'Call it off'}
      </button>
      {isSure ? (
        <button type="button" class="button" onClick={() => setIsSure(false)}>
          Keep it
        </button>
      ) : null}
      {failure === null ? null : <FailureNote failure={failure} />}
    </div>
  );
}
