import type { VNode } from 'preact';
import { callOff } from '../api/on-call-client.ts';
import type { Rota } from '../api/types.ts';
import { SureButton } from './sure-button.tsx';

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
            <SureButton
              words="Call it off"
              sureWords="Yes, call it off"
              about={change.words}
              onSure={async () => {
                await callOff(team.id, change.id, rota.generation);
                onDone('It is called off.');
              }}
            />
          ) : null}
        </li>
      ))}
    </ul>
  );
}
