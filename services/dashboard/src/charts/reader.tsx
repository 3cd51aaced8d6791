import type { VNode } from 'preact';
import { useId } from 'preact/hooks';
import { dayAndTime, zoneName } from '../words/times.ts';
import type { Span } from './span.ts';

/** Steps of the slide over the whole span: about one for each pixel of a phone. */
const STEPS = 400;

/** A slide under one thumb, or the arrow keys, that says at which time the values are read. */
export function Reader(props: {
  readonly span: Span;
  readonly zone: string;
  readonly readAtMs: number | null;
  readonly onRead: (atMs: number) => void;
}): VNode {
  const { span, zone, readAtMs, onRead } = props;
  const id = useId();
  const length = span.toMs - span.fromMs;
  const atMs = readAtMs ?? span.toMs;
  const step = Math.round(((atMs - span.fromMs) / length) * STEPS);
  const words =
    readAtMs === null
      ? 'newest values'
      : `${dayAndTime(atMs, zone, Date.now())} ${zoneName(atMs, zone)}`;
  return (
    <div class="reader">
      <label for={id}>
        Read at <strong>{words}</strong>
      </label>
      <input
        id={id}
        type="range"
        min={0}
        max={STEPS}
        value={step}
        aria-valuetext={words}
        onInput={(event) =>
          onRead(span.fromMs + (Number(event.currentTarget.value) / STEPS) * length)
        }
      />
    </div>
  );
}
