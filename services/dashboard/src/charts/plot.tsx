import type { VNode } from 'preact';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import uPlot from 'uplot';
import type { PlotColumns } from './columns.ts';
import type { Happening } from './happenings.ts';
import { paintMarks, paintWettings } from './overlays.ts';
import type { Panel } from './panels.ts';
import { plotOptions } from './plot-options.ts';
import { drawnSpan, type Span } from './span.ts';

export interface PlotProps {
  readonly panel: Panel;
  readonly columns: PlotColumns;
  readonly span: Span;
  readonly zone: string;
  readonly happenings: readonly Happening[];
  /** Which edges carry the labels of the shared time axis. */
  readonly timeLabels: 'top' | 'bottom' | 'both' | 'none';
  readonly readAtMs: number | null;
  readonly onRead: (atMs: number | null) => void;
  readonly onZoom: (span: Span) => void;
}

/** One strip of the recording. The words for it are around it; the canvas itself is silent. */
export function Plot(props: PlotProps): VNode {
  const holder = useRef<HTMLDivElement>(null);
  const plot = useRef<uPlot | null>(null);
  const newest = useRef(props);
  newest.current = props;

  const shape = `${props.panel.lines.map(({ channel }) => channel).join()} ${props.zone} ${props.timeLabels}`;
  // The plot is made anew per shape only.
  useLayoutEffect(() => {
    const element = holder.current;
    if (element === null) return;
    const made = new uPlot(
      plotOptions(element, newest.current.panel, newest.current.zone, newest.current.timeLabels, {
        behind: (drawn) => paintWettings(drawn, newest.current.happenings),
        above: (drawn) => paintMarks(drawn, newest.current.happenings),
        read: (atMs) => newest.current.onRead(atMs),
        zoom: (oneMs, otherMs) => newest.current.onZoom(drawnSpan(oneMs, otherMs)),
      }),
      newest.current.columns as uPlot.AlignedData,
      element,
    );
    plot.current = made;
    const { fromMs, toMs } = newest.current.span;
    made.setScale('x', { min: fromMs, max: toMs });
    const watcher = new ResizeObserver(() => {
      if (element.clientWidth > 0 && element.clientWidth !== made.width) {
        made.setSize({ width: element.clientWidth, height: made.height });
      }
    });
    watcher.observe(element);
    return () => {
      watcher.disconnect();
      made.destroy();
      plot.current = null;
    };
  }, [shape]);

  useEffect(() => {
    const drawn = plot.current;
    drawn?.batch(() => {
      drawn.setData(props.columns as uPlot.AlignedData, false);
      drawn.setScale('x', { min: props.span.fromMs, max: props.span.toMs });
    });
  }, [props.columns, props.span.fromMs, props.span.toMs]);

  // New happenings need a new painting.
  useEffect(() => plot.current?.redraw(false), [props.happenings]);

  useEffect(() => {
    const drawn = plot.current;
    if (drawn === null) return;
    const left = props.readAtMs === null ? -10 : drawn.valToPos(props.readAtMs, 'x');
    if (Math.abs((drawn.cursor.left ?? -10) - left) > 0.5) {
      drawn.setCursor({ left, top: left < 0 ? -10 : 0 }, false);
    }
  }, [props.readAtMs]);

  return <div class="plot" ref={holder} aria-hidden="true" />;
}
