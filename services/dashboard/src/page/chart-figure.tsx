import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { dayOf, instantOfLocal, localFieldValue } from '../words/times.ts';
import {
  bandPath,
  CHART_HEIGHT,
  CHART_WIDTH,
  type ChartPanel,
  type ChartScale,
  meanPath,
  PLOT,
  panelsOf,
  scaleOf,
} from './chart-shape.ts';
import { lineName, panelWords, valueWords } from './chart-words.ts';
import { PageFailure, readChart } from './page-calls.ts';
import type { PageAlarm, PageChart } from './page-types.ts';

const DAY_MS = 86_400_000;

/** The week before now of what the alarm is about. */
export function ChartFigure(props: { readonly alarm: PageAlarm; readonly zone: string }): VNode {
  const { alarm, zone } = props;
  const [chart, setChart] = useState<PageChart | null>(null);
  const [fault, setFault] = useState('');
  const load = (): void => {
    setFault('');
    readChart(alarm.id).then(setChart, (error: unknown) => {
      setFault(error instanceof PageFailure ? error.message : String(error));
    });
  };
  useEffect(load, [alarm.id]);
  if (fault !== '') {
    return (
      <p>
        The readings did not come: {fault}{' '}
        <button type="button" class="press" onClick={load}>
          Try again
        </button>
      </p>
    );
  }
  if (chart === null) return <p class="soft">Reading the last seven days …</p>;
  const panels = panelsOf(chart);
  if (panels.length === 0) return <p>No readings of the last seven days.</p>;
  const span = { fromMs: Date.parse(chart.from), toMs: Date.parse(chart.to) };
  return (
    <>
      {panels.map((panel) => (
        <Panel
          key={panel.key}
          panel={panel}
          zone={zone}
          raisedMs={Date.parse(alarm.since)}
          {...span}
        />
      ))}
    </>
  );
}

interface PanelProps {
  readonly panel: ChartPanel;
  readonly zone: string;
  readonly raisedMs: number;
  readonly fromMs: number;
  readonly toMs: number;
}

function Panel({ panel, zone, raisedMs, fromMs, toMs }: PanelProps): VNode {
  const scale = scaleOf(panel, fromMs, toMs);
  const words = panelWords(panel, zone, toMs);
  return (
    <figure class="chart">
      <svg viewBox={`0 0 ${CHART_WIDTH} ${CHART_HEIGHT}`} role="img" aria-label={words}>
        <Frame panel={panel} scale={scale} />
        <Days zone={zone} fromMs={fromMs} toMs={toMs} scale={scale} />
        {panel.lines.map((line, index) => (
          <g key={line.channel} class={`line line-${index}`}>
            {panel.lines.length === 1 && <path class="band" d={bandPath(line, scale)} />}
            <path class="mean" d={meanPath(line, scale)} />
          </g>
        ))}
        {raisedMs > fromMs && (
          <path class="raised" d={`M${scale.x(raisedMs).toFixed(1)} ${PLOT.top}V${PLOT.bottom}`} />
        )}
      </svg>
      <figcaption>
        {words}
        {raisedMs > fromMs && ' The upright line is when the alarm was raised.'}
        {panel.lines.length > 1 && <Key panel={panel} />}
      </figcaption>
    </figure>
  );
}

function Frame({
  panel,
  scale,
}: {
  readonly panel: ChartPanel;
  readonly scale: ChartScale;
}): VNode {
  const { low, high, y } = scale;
  const { limit } = panel;
  const values = [low, high];
  return (
    <g>
      {values.map((value) => (
        <g key={value}>
          <path class="rule" d={`M${PLOT.left} ${y(value).toFixed(1)}H${PLOT.right}`} />
          <text x={PLOT.left - 4} y={y(value) + 4} text-anchor="end">
            {valueWords(value, '')}
          </text>
        </g>
      ))}
      <text x={PLOT.left - 4} y={(PLOT.top + PLOT.bottom) / 2 + 4} text-anchor="end">
        {panel.unit}
      </text>
      {limit !== null && (
        <path class="limit" d={`M${PLOT.left} ${y(limit).toFixed(1)}H${PLOT.right}`} />
      )}
    </g>
  );
}

/** Midnights of the site, every other one named. */
function Days(props: {
  readonly zone: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly scale: ChartScale;
}): VNode {
  const { zone, fromMs, toMs, scale } = props;
  const midnights: number[] = [];
  for (let atMs = fromMs + DAY_MS; atMs <= toMs; atMs += DAY_MS) {
    const midnight = instantOfLocal(`${localFieldValue(atMs, zone).slice(0, 10)}T00:00`, zone);
    if (midnight !== null && midnight > fromMs) midnights.push(midnight);
  }
  return (
    <g>
      {midnights.map((atMs, index) => {
        const x = scale.x(atMs).toFixed(1);
        return (
          <g key={atMs}>
            <path class="rule" d={`M${x} ${PLOT.bottom}v4`} />
            {index % 2 === 0 && (
              <text
                x={Math.min(scale.x(atMs), PLOT.right)}
                y={PLOT.bottom + 16}
                text-anchor={scale.x(atMs) > PLOT.right - 20 ? 'end' : 'middle'}
              >
                {dayOf(atMs, zone, toMs)}
              </text>
            )}
          </g>
        );
      })}
    </g>
  );
}

function Key({ panel }: { readonly panel: ChartPanel }): VNode {
  return (
    <span class="key">
      {panel.lines.map(({ channel }, index) => (
        <span key={channel}>
          <svg viewBox="0 0 36 8" aria-hidden="true">
            <g class={`line line-${index}`}>
              <path class="mean" d="M0 4H36" />
            </g>
          </svg>{' '}
          {lineName(channel)}
        </span>
      ))}
    </span>
  );
}
