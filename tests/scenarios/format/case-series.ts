/** The readings, reports and records that a case describes. */
import type { ServiceEvent } from '@lineside/judging';
import { type ChannelName, type Reading, WEATHER_UNIT } from '@lineside/readings';
import type { Rhythm, ScenarioCase, Setting, Span } from './scenario-case.ts';
import { DAY_MS, HOUR_MS } from './times.ts';

/** Everything in ascending event time. */
export interface CaseSeries {
  readonly readings: readonly Reading[];
  readonly weather: readonly Reading[];
  readonly services: readonly (ServiceEvent & { readonly unit: string })[];
}

/** `shiftMs` moves all of it, times of the day included. */
export function seriesOf(scenario: ScenarioCase, shiftMs = 0): CaseSeries {
  const startMs = scenario.startMs + shiftMs;
  const readings = scenario.units.flatMap(({ site, id }) => {
    const spans = scenario.spans.filter(({ of }) => of !== 'outdoors' && (of.unit ?? id) === id);
    return rowsOf(spans, scenario, scenario.everyMs).map(({ sinceMs, channels }) => ({
      site,
      unit: id,
      atMs: startMs + sinceMs,
      channels,
    }));
  });
  const outdoors = scenario.spans.filter(({ of }) => of === 'outdoors');
  const site = scenario.units[0]?.site ?? '';
  const weather = rowsOf(outdoors, scenario, scenario.outdoorsEveryMs).map((row) => ({
    site,
    unit: WEATHER_UNIT,
    atMs: startMs + row.sinceMs,
    channels: asFallen(row.channels, scenario.outdoorsEveryMs),
  }));
  const services = scenario.units.flatMap(({ id }) =>
    scenario.services
      .filter(({ unit }) => (unit ?? id) === id)
      .map((service) => ({ ...service, unit: id, atMs: startMs + service.atMs })),
  );
  return { readings: byTime(readings), weather, services: byTime(services) };
}

type Values = { [name in ChannelName]?: number };
interface Row {
  readonly sinceMs: number;
  readonly channels: Values;
}

function byTime<Timed extends { readonly atMs: number }>(events: readonly Timed[]): Timed[] {
  return events.toSorted((one, other) => one.atMs - other.atMs);
}

/** Rain and snow are rates in a case, and water since the last report in a report. */
function asFallen(channels: Values, everyMs: number): Values {
  const share = everyMs / HOUR_MS;
  const fallen = { ...channels };
  if (fallen.rain !== undefined) fallen.rain *= share;
  if (fallen.snow !== undefined) fallen.snow *= share;
  return fallen;
}

function rowsOf(spans: readonly Span[], scenario: ScenarioCase, everyMs: number): Row[] {
  const endMs = Math.max(0, ...spans.map(({ toMs }) => toMs));
  const rows: Row[] = [];
  for (let sinceMs = 0; sinceMs < endMs; sinceMs += everyMs) {
    const channels = valuesAt(spans, sinceMs, scenario.startMs);
    if (channels !== null && Object.keys(channels).length > 0) rows.push({ sinceMs, channels });
  }
  return rows;
}

/** Null in a gap. */
function valuesAt(spans: readonly Span[], sinceMs: number, startMs: number): Values | null {
  const values: Values = {};
  for (const span of spans) {
    const progress = progressOf(span, sinceMs, startMs);
    if (progress === null) continue;
    for (const setting of span.settings) {
      if (setting.type === 'gap') return null;
      if (setting.type === 'missing') delete values[setting.channel];
      else values[setting.channel] = settingAt(setting, progress, sinceMs);
    }
  }
  return values;
}

/** How far into the stretch in which the span holds, 0 to 1; null when it does not hold. */
function progressOf(span: Span, sinceMs: number, startMs: number): number | null {
  if (sinceMs < span.fromMs || sinceMs >= span.toMs) return null;
  if (span.rhythm === null) return (sinceMs - span.fromMs) / (span.toMs - span.fromMs);
  return progressInRhythm(span.rhythm, sinceMs, sinceMs - span.fromMs, startMs);
}

function progressInRhythm(
  rhythm: Rhythm,
  sinceMs: number,
  inSpanMs: number,
  startMs: number,
): number | null {
  if (rhythm.type === 'cycle') {
    const inPeriodMs = inSpanMs % rhythm.periodMs;
    return inPeriodMs < rhythm.onMs ? inPeriodMs / rhythm.onMs : null;
  }
  const lengthMs = (rhythm.toMs - rhythm.fromMs + DAY_MS) % DAY_MS || DAY_MS;
  const inWindowMs = (startMs + sinceMs - rhythm.fromMs) % DAY_MS;
  return inWindowMs < lengthMs ? inWindowMs / lengthMs : null;
}

function settingAt(
  { points, noise, channel }: Extract<Setting, { readonly type: 'value' }>,
  progress: number,
  sinceMs: number,
): number {
  const position = progress * (points.length - 1);
  const index = Math.floor(position);
  const here = points[index] ?? 0;
  const next = points[index + 1] ?? here;
  const value = here + (next - here) * (position - index);
  return noise === 0 ? value : Math.max(0, value + noise * jitter(sinceMs, channel));
}

/** Between -1 and 1, the same in every run. Integer mixing after Thomas Wang (from memory). */
function jitter(sinceMs: number, channel: ChannelName): number {
  let mixed = Math.floor(sinceMs / 1000) * 64 + channel.charCodeAt(0) + channel.charCodeAt(1);
  mixed = Math.imul(mixed ^ (mixed >>> 16), 0x45d9f3b);
  mixed = Math.imul(mixed ^ (mixed >>> 16), 0x45d9f3b);
  return ((mixed ^ (mixed >>> 16)) >>> 0) / 0x80000000 - 1;
}
