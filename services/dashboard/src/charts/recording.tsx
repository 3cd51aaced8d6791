import type { VNode } from 'preact';
import { useMemo, useState } from 'preact/hooks';
import type { ServiceRecord, Unit } from '../api/types.ts';
import { FailureNote } from '../components/failure-note.tsx';
import { goTo } from '../routes/current-route.ts';
import type { Range } from '../routes/route.ts';
import { presentationOf } from '../words/quantities.ts';
import { dayAndTime } from '../words/times.ts';
import { plotColumns } from './columns.ts';
import { HappeningLane } from './happening-lane.tsx';
import { type Happening, happeningsWithin } from './happenings.ts';
import { type Panel, panelsWith } from './panels.ts';
import { Plot } from './plot.tsx';
import { RangeTools } from './range-tools.tsx';
import { Reader } from './reader.tsx';
import type { Span } from './span.ts';
import { SpanInWords } from './span-in-words.tsx';
import { StripKey } from './strip-key.tsx';
import { type Channels, useRecording } from './use-recording.ts';

/** The strips of one unit on one time axis, with everything that happened beside them. */
export function Recording(props: {
  readonly unit: Unit;
  readonly range: Range;
  readonly service: readonly ServiceRecord[];
}): VNode {
  const { unit, range, service } = props;
  const { data, span, loading, failure, readAnew } = useRecording(unit, range);
  const panels = useMemo(() => panelsWith(new Set(data.channels.keys())), [data.channels]);
  const happenings = useMemo(
    () => happeningsWithin(span, Date.now(), { ...data, service }),
    [span, data, service],
  );
  const choose = (next: Range): void =>
    goTo({ screen: 'unit', site: unit.site, unit: unit.unit, range: next });
  return (
    <section class="unit-recording" aria-labelledby="recording-heading" aria-busy={loading}>
      <h2 id="recording-heading">Recording</h2>
      <RangeTools range={range} span={span} zone={unit.timezone} onRange={choose} />
      {failure === null ? null : <FailureNote failure={failure} onRetry={readAnew} />}
      {panels.length === 0 && !loading ? (
        <NothingHere unit={unit} onRange={choose} />
      ) : (
        <Strips
          panels={panels}
          channels={data.channels}
          span={span}
          zone={unit.timezone}
          happenings={happenings}
          onZoom={choose}
        />
      )}
      <SpanInWords
        panels={panels}
        channels={data.channels}
        happenings={happenings}
        zone={unit.timezone}
      />
    </section>
  );
}

function Strips(props: {
  readonly panels: readonly Panel[];
  readonly channels: Channels;
  readonly span: Span;
  readonly zone: string;
  readonly happenings: readonly Happening[];
  readonly onZoom: (span: Span) => void;
}): VNode {
  const { panels, channels, span, zone, happenings } = props;
  const [readAtMs, setReadAtMs] = useState<number | null>(null);
  const within = readAtMs !== null && readAtMs >= span.fromMs && readAtMs <= span.toMs;
  const atMs = within ? readAtMs : null;
  return (
    <div class="strips">
      <Reader span={span} zone={zone} readAtMs={atMs} onRead={setReadAtMs} />
      <HappeningLane span={span} happenings={happenings} />
      {panels.map((panel, index) => (
        <Strip
          key={panel.key}
          {...props}
          panel={panel}
          channels={channels}
          readAtMs={atMs}
          onRead={(readMs) => readMs !== null && setReadAtMs(readMs)}
          last={index === panels.length - 1}
          first={index === 0}
        />
      ))}
    </div>
  );
}

function Strip(props: {
  readonly panel: Panel;
  readonly channels: Channels;
  readonly span: Span;
  readonly zone: string;
  readonly happenings: readonly Happening[];
  readonly readAtMs: number | null;
  readonly onRead: (atMs: number | null) => void;
  readonly onZoom: (span: Span) => void;
  readonly first: boolean;
  readonly last: boolean;
}): VNode {
  const { panel, channels, span, first, last } = props;
  const columns = useMemo(
    () =>
      plotColumns(
        panel.lines.map(({ channel }) => ({
          points: channels.get(channel) ?? [],
          scale: presentationOf(channel).scale,
        })),
      ),
    [panel, channels],
  );
  const edges = first && last ? 'both' : first ? 'top' : last ? 'bottom' : 'none';
  return (
    <figure class="strip">
      <StripKey panel={panel} channels={channels} span={span} readAtMs={props.readAtMs} />
      <Plot
        panel={panel}
        columns={columns}
        span={span}
        zone={props.zone}
        happenings={props.happenings}
        timeLabels={edges}
        readAtMs={props.readAtMs}
        onRead={props.onRead}
        onZoom={props.onZoom}
      />
    </figure>
  );
}

const DAY_MS = 86_400_000;

function NothingHere(props: {
  readonly unit: Unit;
  readonly onRange: (range: Range) => void;
}): VNode {
  const { unit, onRange } = props;
  const newest = unit.lastReading?.time;
  if (newest === undefined) return <p>There are no readings in this span.</p>;
  const newestMs = Date.parse(newest);
  return (
    <div class="empty">
      <p>
        There are no readings in this span. The newest is of{' '}
        {dayAndTime(newestMs, unit.timezone, Date.now())}.
      </p>
      <button
        type="button"
        class="button"
        onClick={() => onRange({ fromMs: newestMs - DAY_MS, toMs: newestMs + 60_000 })}
      >
        Show the 24 hours up to then
      </button>
    </div>
  );
}
