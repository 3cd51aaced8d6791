import type { VNode } from 'preact';
import { CAUTIONS, DEFERENCE, NO_PROOF } from '../words/safety.ts';

/** The cautions of the trade; the sentence that matters most is never folded away. */
export function MakeSafe(props: { readonly open: boolean }): VNode {
  return (
    <details class="make-safe" open={props.open}>
      <summary>
        <strong>Make it safe first.</strong> {NO_PROOF}
      </summary>
      <ul>
        {CAUTIONS.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <p>{DEFERENCE}</p>
    </details>
  );
}
