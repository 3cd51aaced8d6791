import { PRIORITIES, type Priority } from '@lineside/anomaly';
import { csvText } from '../csv.ts';
import type { AlarmFigures, FiguresScope } from './alarm-figures.ts';
import { FIGURE_TARGETS, type FigureTarget } from './figure-targets.ts';

/** One figure of one scope, with the published target beside it. */
export interface FigureRow {
  readonly scope: FiguresScope['kind'];
  /** The site or position; empty for the fleet. */
  readonly name: string;
  readonly figure: string;
  /** Null where there is nothing to take it from. */
  readonly value: number | null;
  readonly unit: 'alarms' | 'spans' | 'floods' | 'share' | 'min' | 'alarm points';
  /** Null where no standard asks for anything. */
  readonly target: FigureTarget | null;
}

type Line = Omit<FigureRow, 'scope' | 'name'>;

/** All figures as rows: what the table on a page and the CSV show. */
export function figureRows(figures: readonly AlarmFigures[]): readonly FigureRow[] {
  return figures.flatMap((one) => {
    const lines = [...loadLines(one), ...badActorLines(one), ...PRIORITIES.flatMap(linesOf(one))];
    return lines.map((line) => ({ scope: one.scope.kind, name: nameOf(one.scope), ...line }));
  });
}

/** The rows as CSV (RFC 4180), with a header line. */
export function figuresCsv(figures: readonly AlarmFigures[]): string {
  const lines = figureRows(figures).map(({ scope, name, figure, value, unit, target }) => [
    scope,
    name,
    figure,
    value,
    unit,
    target === null ? null : `${target.kind === 'about' ? 'about' : 'at most'} ${target.value}`,
    target?.manageable ?? null,
    target?.source ?? null,
  ]);
  return csvText([HEADER, ...lines]);
}

const HEADER = ['scope', 'name', 'figure', 'value', 'unit', 'target', 'manageable', 'source'];
const MINUTE_MS = 60_000;

function line(
  figure: string,
  value: number | null,
  unit: FigureRow['unit'],
  target: FigureTarget | null = null,
): Line {
  return { figure, value: value === null ? null : rounded(value), unit, target };
}

/** Six digits: a table needs no more, and none of them is noise of the arithmetic. */
function rounded(value: number): number {
  return Number(value.toPrecision(6));
}

function loadLines(one: AlarmFigures): readonly Line[] {
  const targets = FIGURE_TARGETS;
  return [
    line('alarms', one.alarms, 'alarms'),
    line('alarms per day, mean', one.perDayMean, 'alarms', targets.alarmsPerDay),
    line('alarms per day, peak', one.perDayPeak, 'alarms'),
    line('alarms per 10 min, mean', one.perTenMinutesMean, 'alarms', targets.alarmsPerTenMinutes),
    line('alarms per 10 min, peak', one.perTenMinutesPeak, 'alarms', targets.peakPerTenMinutes),
    line('10-min spans', one.spans, 'spans'),
    line('10-min spans with more than 10 alarms', one.spansOverTen, 'spans'),
    line('share of these spans', one.shareOfSpansOverTen, 'share', targets.spansOverTen),
    line('floods', one.floods, 'floods'),
    line('time in flood', one.floodedMs / MINUTE_MS, 'min'),
    line('share of time in flood', one.shareOfTimeFlooded, 'share', targets.timeFlooded),
  ];
}

function badActorLines(one: AlarmFigures): readonly Line[] {
  const targets = FIGURE_TARGETS;
  return [
    ...one.mostFrequent.map(({ site, unit, kind, alarms }, index) =>
      line(`most frequent ${index + 1}: ${site} ${unit} ${kind}`, alarms, 'alarms'),
    ),
    line('share of the most frequent 10', one.shareOfMostFrequent, 'share', targets.mostFrequent),
    line('chattering', one.chattering.length, 'alarm points', targets.chattering),
    line('stale', one.stale.alarms, 'alarms'),
    line('stale on the worst day', one.stale.onWorstDay, 'alarms', targets.stale),
    line('stale at the end', one.stale.atEnd, 'alarms'),
  ];
}

const SHARE_TARGETS: Readonly<Record<Priority, FigureTarget>> = {
  routine: FIGURE_TARGETS.routineShare,
  urgent: FIGURE_TARGETS.urgentShare,
  emergency: FIGURE_TARGETS.emergencyShare,
};

function linesOf({ byPriority }: AlarmFigures): (priority: Priority) => readonly Line[] {
  return (priority) => {
    const { alarms, share, acknowledged, ...after } = byPriority[priority];
    const median = minutes(after.acknowledgedAfterMedianMs);
    const most = minutes(after.acknowledgedAfter90PercentMs);
    return [
      line(`${priority} alarms`, alarms, 'alarms'),
      line(`share of ${priority} alarms`, share, 'share', SHARE_TARGETS[priority]),
      line(`${priority} alarms acknowledged`, acknowledged, 'alarms'),
      line(`${priority} time to acknowledge, median`, median, 'min'),
      line(`${priority} time to acknowledge, 90th percentile`, most, 'min'),
    ];
  };
}

function minutes(durationMs: number | null): number | null {
  return durationMs === null ? null : durationMs / MINUTE_MS;
}

function nameOf(scope: FiguresScope): string {
  if (scope.kind === 'fleet') return '';
  return scope.kind === 'site' ? scope.site : scope.position;
}
