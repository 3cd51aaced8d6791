import { type Alarm, rfc3339 } from '@lineside/alarms';
import type { FindingKind } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import type { ChannelName, Reading } from '@lineside/readings';
import type { TelemetryStore } from '@lineside/storage';
import type { PageChartJson } from '../schemas/page-link.ts';
import type { TelemetryJson } from '../schemas/telemetry.ts';

const SPAN_MS = 7 * 24 * 60 * 60_000;

/** One an hour of a week: what a phone's width can show, and small enough for a bad connection. */
const POINTS_MOST = 168;

const CURRENTS = ['ia', 'ib', 'ic'] as const;
const VOLTAGES = ['vab', 'vbc', 'vca'] as const;

/** What shows somebody that the alarm is right. */
const CHANNELS: Readonly<Record<FindingKind, readonly ChannelName[]>> = {
  moisture: ['rh', 'leak'],
  leakage: ['leak', 'rh'],
  'phase-track': ['leak', ...CURRENTS],
  unbalance: [...CURRENTS, ...VOLTAGES],
  'phase-loss': [...CURRENTS, ...VOLTAGES],
  'supply-loss': [...CURRENTS, ...VOLTAGES],
  'repeat-fuse': ['leak', ...CURRENTS],
  sensor: ['rh', 'leak'],
  silent: ['rh', 'leak'],
};

export interface PageChartSources {
  readonly telemetry: Pick<TelemetryStore, 'rangeJson'>;
  /** The newest reading of the unit. */
  readonly latest: Reading | null;
  /** Null when the fleet does not have it. */
  readonly unit: Unit | null;
}

/**
 * The week before `nowMs` of what an alarm is about; it ends with the newest reading as it was
 * measured, so that the line ends where the unit is now. Rejects with `StoreError`.
 */
export async function pageChart(
  { telemetry, latest, unit }: PageChartSources,
  alarm: Alarm,
  nowMs: number,
): Promise<PageChartJson> {
  const fromMs = nowMs - SPAN_MS;
  const channels = CHANNELS[alarm.kind];
  const bytes = await telemetry.rangeJson({
    site: alarm.site,
    unit: alarm.unit,
    fromMs,
    toMs: nowMs,
    channels,
    points: POINTS_MOST,
  });
  const found: TelemetryJson = JSON.parse(new TextDecoder().decode(bytes));
  return {
    from: rfc3339(fromMs),
    to: rfc3339(nowMs),
    lines: channels.flatMap((channel) => {
      const line = found.channels[channel];
      if (line === undefined || line.points.length === 0) return [];
      const all = [...line.points, ...newestPoint(channel, latest, line.points.at(-1)?.[0] ?? 0)];
      const points = all.map(([atMs, ...values]) => [atMs, ...values.map(threeDigits)]);
      return { channel, unit: line.unit, points };
    }),
    limits: limitsOf(channels, unit),
  };
}

type Point = TelemetryJson['channels'][string]['points'][number];

function newestPoint(
  channel: ChannelName,
  latest: Reading | null,
  afterMs: number,
): readonly Point[] {
  const value = latest?.channels[channel];
  if (latest === null || value === undefined || latest.atMs <= afterMs) return [];
  return [[latest.atMs, value, value, value]];
}

function limitsOf(channels: readonly ChannelName[], unit: Unit | null): PageChartJson['limits'] {
  if (unit === null || !channels.includes('leak')) return [];
  return [{ channel: 'leak', value: unit.limits.leakageUrgentMilliamps / 1000 }];
}

/** What a chart of a phone's width can tell apart. */
function threeDigits(value: number): number {
  return Number(value.toPrecision(3));
}
