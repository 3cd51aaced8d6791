import type { VNode } from 'preact';
import { channelValue, presentationOf } from '../words/quantities.ts';
import { dayAndTime, zoneName } from '../words/times.ts';
import { extentOf } from './columns.ts';
import type { Happening } from './happenings.ts';
import type { Panel } from './panels.ts';
import type { Channels } from './use-recording.ts';

/** More lines than this nobody reads; the newest are shown. */
const MOST_HAPPENINGS = 50;

/** What the strips show, for those who do not see them and for paper. */
export function SpanInWords(props: {
  readonly panels: readonly Panel[];
  readonly channels: Channels;
  readonly happenings: readonly Happening[];
  readonly zone: string;
}): VNode {
  const { panels, channels, happenings, zone } = props;
  return (
    <div class="span-words">
      <Extents panels={panels} channels={channels} />
      <HappeningList happenings={happenings} zone={zone} />
    </div>
  );
}

function Extents(props: {
  readonly panels: readonly Panel[];
  readonly channels: Channels;
}): VNode | null {
  const rows = props.panels
    .flatMap(({ lines }) => lines)
    .map(({ channel }) => ({ channel, extent: extentOf(props.channels.get(channel) ?? []) }));
  if (rows.length === 0) return null;
  return (
    <details>
      <summary>Lowest and highest in this span</summary>
      <table>
        <thead>
          <tr>
            <th scope="col">Measured</th>
            <th scope="col">Lowest</th>
            <th scope="col">Mean</th>
            <th scope="col">Highest</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ channel, extent }) =>
            extent === null ? null : (
              <tr key={channel}>
                <th scope="row">{presentationOf(channel).label}</th>
                <td>{channelValue(channel, extent.lowest)}</td>
                <td>{channelValue(channel, extent.mean)}</td>
                <td>{channelValue(channel, extent.highest)}</td>
              </tr>
            ),
          )}
        </tbody>
      </table>
    </details>
  );
}

function HappeningList(props: {
  readonly happenings: readonly Happening[];
  readonly zone: string;
}): VNode {
  const { happenings, zone } = props;
  const shown = [...happenings].reverse().slice(0, MOST_HAPPENINGS);
  return (
    <details open={happenings.length > 0}>
      <summary>What happened in this span: {happenings.length}</summary>
      <ul class="log">
        {shown.map(({ kind, fromMs, words }) => (
          <li key={`${kind} ${fromMs} ${words}`}>
            <span class={`log-sign log-${kind}`} aria-hidden="true" />
            <time dateTime={new Date(fromMs).toISOString()}>
              {dayAndTime(fromMs, zone, Date.now())} {zoneName(fromMs, zone)}
            </time>
            : {words}
          </li>
        ))}
      </ul>
    </details>
  );
}
