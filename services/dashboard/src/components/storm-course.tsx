import type { VNode } from 'preact';
import type { StormReview, StormUnit } from '../api/types.ts';
import { useNow } from '../state/clock.ts';
import { zoneOf } from '../words/storms.ts';
import { clockTime, dayOf } from '../words/times.ts';
import { courseSpan, courseTicks, partOf, type Span } from './storm-span.ts';

/** More rows are no picture; the table has them all. */
const MOST_ROWS = 16;

/** How the storm went: weather by the hour above, then when each unit was wet and raised alarms. */
export function StormCourse({ storm }: { readonly storm: StormReview }): VNode {
  const nowMs = useNow();
  const span = courseSpan(storm, nowMs);
  const ticks = courseTicks(span, zoneOf(storm));
  const shown = storm.units.slice(0, MOST_ROWS);
  const left = storm.units.length - shown.length;
  return (
    <section class="storm-part">
      <h2>How it went</h2>
      <p class="soft course-key">
        <Sample of="wet inside">
          <rect class="course-wet" x="0" y="3" width="26" height="10" />
        </Sample>
        <Sample of="damp air">
          <rect class="course-damp" x="0" y="6" width="26" height="4" />
        </Sample>
        <Sample of="alarm">
          <path class="course-alarm" d="M13 14 L7 3 H19 Z" />
        </Sample>
        <Sample of="acknowledged">
          <path class="course-answer" d="M7 8 L12 13 L20 3" />
        </Sample>
        <Sample of="service">
          <path class="course-service" d="M13 2 L19 8 L13 14 L7 8 Z" />
        </Sample>
      </p>
      <div class="course" role="img" aria-label={`${storm.headline} The table below says it all.`}>
        <Days span={span} ticks={ticks} storm={storm} nowMs={nowMs} />
        <WeatherRow storm={storm} span={span} ticks={ticks} />
        {shown.map((unit) => (
          <UnitRow
            key={`${unit.site}/${unit.unit}`}
            unit={unit}
            {...{ storm, span, ticks, nowMs }}
          />
        ))}
      </div>
      {left > 0 ? <p class="soft">and {left} more units, see the table.</p> : null}
    </section>
  );
}

function Sample(props: { readonly of: string; readonly children: VNode }): VNode {
  return (
    <span class="course-sample">
      <svg viewBox="0 0 26 16" aria-hidden="true">
        {props.children}
      </svg>{' '}
      {props.of}
    </span>
  );
}

interface RowParts {
  readonly storm: StormReview;
  readonly span: Span;
  readonly ticks: readonly number[];
}

function Days(props: RowParts & { readonly nowMs: number }): VNode {
  const { span, ticks, storm, nowMs } = props;
  const zone = zoneOf(storm);
  return (
    <div class="course-row course-days">
      <span />
      <svg class="course-strip" aria-hidden="true">
        {ticks.map((atMs, place) => {
          const clock = clockTime(atMs, zone);
          const isDay = clock === '00:00' || place === 0;
          return (
            <text
              key={atMs}
              x={partOf(atMs, span)}
              y="15"
              text-anchor={place === 0 ? 'start' : 'middle'}
            >
              {isDay ? dayOf(atMs, zone, nowMs) : clock}
            </text>
          );
        })}
      </svg>
    </div>
  );
}

function Grid({ span, ticks }: Pick<RowParts, 'span' | 'ticks'>): VNode {
  return (
    <>
      {ticks.map((atMs) => {
        const x = partOf(atMs, span);
        return <line key={atMs} class="course-tick" x1={x} x2={x} y1="0" y2="100%" />;
      })}
    </>
  );
}

const HOUR_MS = 3_600_000;
/** Height of the weather row, px, as its style says. */
const WEATHER_PX = 46;
/** An hour of more is drawn as high as this one, mm. */
const TALLEST_MILLIMETRES = 5;

function WeatherRow({ storm, span, ticks }: RowParts): VNode | null {
  const hours = storm.weatherHours?.hours ?? [];
  const wet = hours.some((hour) => (hour.rainMillimetres ?? 0) + (hour.snowMillimetres ?? 0) > 0);
  if (hours.length === 0) return null;
  const most = Math.max(
    1,
    ...hours.map((hour) => (hour.rainMillimetres ?? 0) + (hour.snowMillimetres ?? 0)),
  );
  const scale = Math.min(most, TALLEST_MILLIMETRES);
  return (
    <div class="course-row course-weather">
      <span class="soft">{wet ? 'Rain, snow' : 'No rain or snow'}</span>
      <svg class="course-strip" aria-hidden="true">
        <Grid span={span} ticks={ticks} />
        {hours.map((hour) => {
          const startMs = Date.parse(hour.start);
          if (startMs < span.fromMs || startMs >= span.toMs) return null;
          const rain = Math.min(hour.rainMillimetres ?? 0, scale);
          const snow = Math.min(hour.snowMillimetres ?? 0, scale);
          const rainPx = (rain / scale) * (WEATHER_PX - 4);
          const snowPx = (snow / scale) * (WEATHER_PX - 4);
          const x = partOf(startMs, span);
          const width = `${(HOUR_MS / (span.toMs - span.fromMs)) * 86}%`;
          return (
            <>
              <rect
                class="course-rain"
                x={x}
                width={width}
                y={WEATHER_PX - rainPx}
                height={rainPx}
              />
              <rect
                class="course-snow"
                x={x}
                width={width}
                y={WEATHER_PX - rainPx - snowPx}
                height={snowPx}
              />
            </>
          );
        })}
        <text class="course-scale" x="2" y="11">
          {scale.toFixed(scale < 2 ? 1 : 0)} mm/h
        </text>
      </svg>
    </div>
  );
}

function UnitRow(props: RowParts & { readonly unit: StormUnit; readonly nowMs: number }): VNode {
  const { unit, storm, span, ticks, nowMs } = props;
  const service = storm.timeline.lines.filter(
    (line) => line.kind === 'service' && line.site === unit.site && line.unit === unit.unit,
  );
  return (
    <div class="course-row">
      <span class="course-name">{unit.name}</span>
      <svg class="course-strip" aria-hidden="true">
        <Grid span={span} ticks={ticks} />
        {unit.wettings.map((wetting) => {
          const fromMs = Math.max(span.fromMs, Date.parse(wetting.start));
          const endMs = wetting.end === null ? nowMs : Date.parse(wetting.end);
          const toMs = Math.min(span.toMs, endMs);
          const isDamp = wetting.source === 'humid-weather';
          return (
            <rect
              key={wetting.start}
              class={isDamp ? 'course-damp' : 'course-wet'}
              x={partOf(fromMs, span)}
              width={`${(Math.max(0, toMs - fromMs) / (span.toMs - span.fromMs)) * 100}%`}
              y={isDamp ? 12 : 8}
              height={isDamp ? 4 : 12}
            />
          );
        })}
        {unit.alarms.map((alarm) => (
          <Sign key={alarm.id} at={alarm.raised} span={span} d="M0 10 L-6 -2 H6 Z" of="alarm" />
        ))}
        {unit.alarms.map(({ id, acknowledged }) =>
          acknowledged === null ? null : (
            <Sign key={id} at={acknowledged} span={span} d="M-6 2 L-1 8 L8 -4" of="answer" />
          ),
        )}
        {service.map((line) => (
          <Sign
            key={line.time + line.words}
            at={line.time}
            span={span}
            d="M0 -5 L6 1 L0 7 L-6 1 Z"
            of="service"
          />
        ))}
      </svg>
    </div>
  );
}

/** A sign at a time; an inner drawing, since only its place is a part of the width. */
function Sign(props: {
  readonly at: string;
  readonly span: Span;
  readonly d: string;
  readonly of: 'alarm' | 'answer' | 'service';
}): VNode | null {
  const atMs = Date.parse(props.at);
  if (atMs < props.span.fromMs || atMs > props.span.toMs) return null;
  return (
    <svg x={partOf(atMs, props.span)} y="12" overflow="visible" aria-hidden="true">
      <path class={`course-${props.of}`} d={props.d} />
    </svg>
  );
}
