import type { VNode } from 'preact';
import type { Happening } from './happenings.ts';
import { SIDE_PX } from './plot-options.ts';
import type { Span } from './span.ts';

/** A wetting shows its name in the lane only when that has room: this part of the lane. */
const ROOM_FOR_NAME = 0.12;

const SIGNS = { alarm: '▼', service: '◆', wetting: '' };

/** Where things happened, above the strips. What they were is in the list below. */
export function HappeningLane(props: {
  readonly span: Span;
  readonly happenings: readonly Happening[];
}): VNode | null {
  const { span, happenings } = props;
  if (happenings.length === 0) return null;
  return (
    <div class="lane" style={{ marginInline: `${SIDE_PX}px` }} aria-hidden="true">
      {happenings.map((happening) => (
        <Mark
          key={`${happening.kind} ${happening.fromMs} ${happening.words}`}
          happening={happening}
          span={span}
        />
      ))}
    </div>
  );
}

function Mark(props: { readonly happening: Happening; readonly span: Span }): VNode {
  const { happening, span } = props;
  const length = span.toMs - span.fromMs;
  const part = (atMs: number): number => Math.min(1, Math.max(0, (atMs - span.fromMs) / length));
  const from = part(happening.fromMs);
  const width = part(happening.toMs) - from;
  const left = `${from * 100}%`;
  if (happening.kind !== 'wetting') {
    return (
      <span class={`lane-${happening.kind}`} style={{ left }} title={happening.words}>
        {SIGNS[happening.kind]}
      </span>
    );
  }
  return (
    <span class="lane-wetting" style={{ left, width: `${width * 100}%` }} title={happening.words}>
      {width > ROOM_FOR_NAME ? happening.mark : ''}
    </span>
  );
}
