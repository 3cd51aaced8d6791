import type { VNode } from 'preact';
import { houseTroubles } from '../state/house.ts';
import { sessionState } from '../state/session.ts';
import { useStore } from '../state/store.ts';

/** What does not work in Lineside itself: without it a quiet screen would look like a quiet roof. */
export function HouseLine(): VNode | null {
  const trouble = useStore(houseTroubles);
  const isOffice = useStore(
    sessionState,
    (state) => state.state === 'signed-in' && state.session.person.role === 'office',
  );
  const sentences = trouble?.sentences ?? [];
  const details = isOffice ? (trouble?.details ?? []) : [];
  return (
    <div class="house" role="status">
      {sentences.length + details.length === 0 ? null : (
        <div class={sentences.length > 0 ? 'failure' : 'house-note'}>
          <div>
            {sentences.map((sentence) => (
              <p key={sentence}>
                <strong>{sentence}</strong>
              </p>
            ))}
            {details.map((detail) => (
              <p key={detail}>See to Lineside itself: {detail}.</p>
            ))}
          </div>
        </div>
      )}
    </div>
  );
}
