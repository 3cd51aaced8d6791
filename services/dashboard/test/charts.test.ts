import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { TelemetryPoint } from '../src/api/types.ts';
import { extentOf, plotColumns, pointNear, withReading } from '../src/charts/columns.ts';
import { happeningsWithin } from '../src/charts/happenings.ts';
import { panelsWith, UNIT_CHANNELS, WEATHER_CHANNELS } from '../src/charts/panels.ts';
import { scaleRange } from '../src/charts/plot-options.ts';
import { drawnSpan, SHORTEST_SPAN_MS, scaled, shifted, spanOf } from '../src/charts/span.ts';
import { timeLabels } from '../src/charts/time-axis.ts';
import { anAlarm } from './invented.ts';

const raw = (atMs: number, value: number): TelemetryPoint => [atMs, value, value, value];

describe('columns for the plot', () => {
  it('bring channels with other times onto one time column without breaking lines', () => {
    const columns = plotColumns([
      { points: [raw(0, 1), raw(10, 2)], scale: 1 },
      { points: [[5, 1, 2, 3]], scale: 1000 },
    ]);
    expect(columns).toEqual([
      [0, 5, 10],
      [1, undefined, 2],
      [1, undefined, 2],
      [1, undefined, 2],
      [undefined, 2000, undefined],
      [undefined, 1000, undefined],
      [undefined, 3000, undefined],
    ]);
  });

  it('end a line where readings paused', () => {
    const points = [0, 10, 20, 30, 90, 100].map((atMs) => raw(atMs, 1));
    const [time, mean] = plotColumns([{ points, scale: 1 }]);
    expect(time).toEqual([0, 10, 20, 30, 31, 90, 100]);
    expect(mean?.[4]).toBeNull();
  });

  it('keep every point of every channel', () => {
    const points = fc
      .uniqueArray(fc.nat(1000), { maxLength: 30 })
      .map((times) => times.sort((a, b) => a - b).map((atMs) => raw(atMs, atMs)));
    fc.assert(
      fc.property(points, points, (first, second) => {
        const [time, ...columns] = plotColumns([
          { points: first, scale: 1 },
          { points: second, scale: 1 },
        ]);
        const values = (column: number): unknown[] =>
          (columns[column] ?? []).filter((value) => typeof value === 'number');
        expect(values(0)).toEqual(first.map(([atMs]) => atMs));
        expect(values(3)).toEqual(second.map(([atMs]) => atMs));
        expect(time).toEqual([...time].sort((a, b) => a - b));
      }),
    );
  });
});

describe('reading a value', () => {
  const points = [raw(0, 1), raw(100, 2), raw(200, 3)];

  it('takes the nearest point within the tolerance', () => {
    expect(pointNear(points, 130, 50)).toEqual(raw(100, 2));
    expect(pointNear(points, 160, 50)).toEqual(raw(200, 3));
    expect(pointNear(points, 900, 50)).toBeNull();
    expect(pointNear([], 0, 50)).toBeNull();
  });

  it('finds lowest and highest of the envelopes', () => {
    expect(
      extentOf([
        [0, -1, 2, 3],
        [1, 0, 4, 9],
      ]),
    ).toEqual({ lowest: -1, highest: 9, mean: 3 });
    expect(extentOf([])).toBeNull();
  });

  it('adds a live reading only when it is newer', () => {
    expect(withReading(points, 300, 4)).toHaveLength(4);
    expect(withReading(points, 200, 4)).toBe(points);
  });
});

describe('spans', () => {
  const day = { fromMs: 0, toMs: 86_400_000 };

  it('end now when named', () => {
    expect(spanOf({ last: '24h' }, 86_400_000)).toEqual(day);
  });

  it('move and scale but never into the future', () => {
    expect(shifted(day, -0.5, day.toMs)).toEqual({ fromMs: -43_200_000, toMs: 43_200_000 });
    expect(shifted(day, 0.5, day.toMs)).toEqual(day);
    expect(scaled(day, 2, day.toMs)).toEqual({ fromMs: -86_400_000, toMs: 86_400_000 });
    expect(scaled(day, 0.5, day.toMs)).toEqual({ fromMs: 21_600_000, toMs: 64_800_000 });
  });

  it('have a shortest length, also when drawn backwards', () => {
    expect(drawnSpan(5000, 1000)).toEqual({ fromMs: 1000, toMs: 1000 + SHORTEST_SPAN_MS });
    const closest = scaled({ fromMs: 0, toMs: SHORTEST_SPAN_MS }, 0.5, SHORTEST_SPAN_MS);
    expect(closest.toMs - closest.fromMs).toBe(SHORTEST_SPAN_MS);
  });
});

describe('axes', () => {
  it('name the day at the first mark and at the midnight of the site', () => {
    const marks = ['2026-01-10T02:00:00Z', '2026-01-10T04:00:00Z', '2026-01-10T06:00:00Z'];
    const labels = timeLabels(marks.map(Date.parse), 7_200_000, 'America/Halifax', 1.768e12, true);
    expect(labels).toEqual(['22:00\n9 Jan', '10 Jan', '02:00']);
  });

  it('start leakage and currents at zero and keep humidity from 0 to 100', () => {
    expect(scaleRange('%RH', 40, 60)).toEqual([0, 100]);
    expect(scaleRange('mA', 0.5, 1)).toEqual([0, 2]);
    expect(scaleRange('A', null, null)[0]).toBe(0);
    expect(scaleRange('°C', -5, 5)[0]).toBeLessThan(-5);
  });

  it('show only the strips and lines that have data', () => {
    const panels = panelsWith(new Set(['leak', 'rh', 'weather.t']));
    expect(panels.map(({ key }) => key)).toEqual(['leakage', 'moisture']);
    expect(panels[1]?.lines.map(({ channel }) => channel)).toEqual(['rh', 'weather.t']);
    expect(UNIT_CHANNELS).not.toContain('weather.t');
    expect(WEATHER_CHANNELS).toEqual(['rh', 't']);
  });
});

describe('happenings', () => {
  const hour = 3_600_000;
  const iso = (atMs: number): string => new Date(atMs).toISOString();

  it('are those that touch the span, oldest first, with each rise of an alarm', () => {
    const sources = {
      alarms: [
        anAlarm({
          priorities: [
            { priority: 'routine', since: iso(2 * hour), causes: [] },
            { priority: 'urgent', since: iso(4 * hour), causes: [] },
          ],
        }),
      ],
      episodes: [
        {
          site: 's',
          unit: 'u',
          start: iso(0),
          peak: iso(1),
          end: null,
          source: 'condensation',
          wetHours: 3,
        },
        {
          site: 's',
          unit: 'u',
          start: iso(0),
          peak: iso(1),
          end: iso(hour),
          source: 'humid-weather',
          wetHours: 1,
        },
      ] as const,
      service: [
        {
          id: '1',
          site: 's',
          unit: 'u',
          time: iso(3 * hour),
          action: 'cleaned',
          recordedAt: iso(3 * hour),
          recordedBy: 'Sam Lind',
        },
      ],
    };
    const span = { fromMs: hour, toMs: 6 * hour };
    const found = happeningsWithin(span, 6 * hour, sources);
    expect(found.map(({ kind, mark }) => `${kind} ${mark}`)).toEqual([
      'wetting condensation',
      'alarm Routine',
      'service Cleaned',
      'alarm Urgent',
    ]);
    expect(found[1]?.words).toBe('Routine alarm raised (leakage)');
    expect(found[3]?.words).toBe('Alarm rose to urgent (leakage)');
  });
});
