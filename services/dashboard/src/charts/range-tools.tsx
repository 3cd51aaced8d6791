import type { VNode } from 'preact';
import { RANGE_NAMES, type Range } from '../routes/route.ts';
import { dayAndTime, zoneName } from '../words/times.ts';
import { RANGE_LABELS, type Span, scaled, shifted } from './span.ts';

/** Half a span at a time keeps half of what was seen in view. */
const STEP = 0.5;

/** Which part of time is shown: named lengths that end now, or moved and scaled by hand. */
export function RangeTools(props: {
  readonly range: Range;
  readonly span: Span;
  readonly zone: string;
  readonly onRange: (range: Range) => void;
}): VNode {
  const { range, span, zone, onRange } = props;
  const nowMs = Date.now();
  const last = 'last' in range ? range.last : null;
  return (
    <div class="range">
      <fieldset class="buttons">
        <legend>Up to now</legend>
        {RANGE_NAMES.map((name) => (
          <button
            key={name}
            type="button"
            class="button"
            aria-pressed={last === name}
            onClick={() => onRange({ last: name })}
          >
            {RANGE_LABELS[name]}
          </button>
        ))}
      </fieldset>
      <fieldset class="buttons">
        <legend>Or by hand, also by drawing across a strip</legend>
        <Step words="Earlier" onStep={() => onRange(shifted(span, -STEP, nowMs))} />
        <Step words="Later" onStep={() => onRange(shifted(span, STEP, nowMs))} />
        <Step words="Closer" onStep={() => onRange(scaled(span, STEP, nowMs))} />
        <Step words="Wider" onStep={() => onRange(scaled(span, 1 / STEP, nowMs))} />
      </fieldset>
      <p class="soft range-words">
        {dayAndTime(span.fromMs, zone, nowMs)} to {dayAndTime(span.toMs, zone, nowMs)}, times of the
        site ({zoneName(span.toMs, zone)})
      </p>
    </div>
  );
}

function Step(props: { readonly words: string; readonly onStep: () => void }): VNode {
  return (
    <button type="button" class="button" onClick={props.onStep}>
      {props.words}
    </button>
  );
}
