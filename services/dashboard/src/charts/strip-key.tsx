import type { VNode } from 'preact';
import { channelValue, presentationOf, quantity } from '../words/quantities.ts';
import { pointNear } from './columns.ts';
import type { Line, Panel } from './panels.ts';
import type { Span } from './span.ts';
import type { Channels } from './use-recording.ts';

/** A value is read from at most this part of the span away: a little over a slide's step. */
const NEAR_PART = 1 / 150;

/** Title of a strip, and for each line its stroke, its name and its value at the reading time. */
export function StripKey(props: {
  readonly panel: Panel;
  readonly channels: Channels;
  readonly span: Span;
  readonly readAtMs: number | null;
}): VNode {
  const { panel, channels, span, readAtMs } = props;
  return (
    <figcaption class="strip-key">
      <h3>{panel.title}</h3>
      <ul>
        {panel.lines.map((line) => (
          <li key={line.channel}>
            <Stroke line={line} /> {presentationOf(line.channel).label}{' '}
            <strong>{valueAt(line.channel, channels, span, readAtMs)}</strong>
          </li>
        ))}
      </ul>
    </figcaption>
  );
}

function valueAt(channel: string, channels: Channels, span: Span, readAtMs: number | null): string {
  const points = channels.get(channel) ?? [];
  // Fifteen minutes: an outdoor station reports more seldom than a node.
  const nearMs = Math.max((span.toMs - span.fromMs) * NEAR_PART, 15 * 60_000);
  const point = readAtMs === null ? points.at(-1) : pointNear(points, readAtMs, nearMs);
  if (point === undefined || point === null) return 'none then';
  const [, lowest, mean, highest] = point;
  const { scale, decimals } = presentationOf(channel);
  const low = quantity(lowest * scale, '', decimals);
  const high = quantity(highest * scale, '', decimals);
  const value = channelValue(channel, mean);
  return low === high ? value : `${value} (${low} to ${high})`;
}

function Stroke({ line }: { readonly line: Line }): VNode {
  return (
    <svg class="stroke" viewBox="0 0 30 8" aria-hidden="true">
      <path
        d="M0 4H30"
        style={{ stroke: `var(${line.ink})`, strokeWidth: line.width }}
        stroke-dasharray={line.dash.join(' ')}
      />
    </svg>
  );
}
