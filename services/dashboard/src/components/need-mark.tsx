import type { VNode } from 'preact';
import type { Need } from '../order/urgency.ts';

const WORDS: Readonly<Record<Need, string>> = {
  emergency: 'Emergency',
  urgent: 'Urgent',
  routine: 'Routine',
  returned: 'Returned',
  shelved: 'Set aside',
  wetting: 'Wetting',
  quiet: '',
  'no-readings': 'No data',
};

/** The need in a word, with as many upright strokes in the margin as it is pressing. */
export function NeedMark(props: { readonly need: Need; readonly acknowledged?: boolean }): VNode {
  return (
    <div class={`mark mark-${props.need}`}>
      <span class="mark-word">{WORDS[props.need]}</span>
      {props.acknowledged === true ? <span class="mark-note">acknowledged</span> : null}
    </div>
  );
}
