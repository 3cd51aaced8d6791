import { RIVAL_NAMES } from '../rivals/rival.ts';
import type { CaseOutcome } from '../running/run-case.ts';
import { type LeakageFigures, leakageFigures, summed } from '../sweep/leakage-figures.ts';
import { atRate, bestOf, type CurvePoint, curvePoint } from '../sweep/sweep-curve.ts';
import { healthyNames } from './healthy-names.ts';
import { markdownTable } from './markdown-table.ts';

/** Us and the swept rivals, by leakage alarms alone. */
export interface SweepResult {
  readonly ours: CurvePoint;
  readonly curves: Readonly<Record<string, readonly CurvePoint[]>>;
  /** Each rival at our rate; null where none of its settings is as quiet. */
  readonly atOurRate: Readonly<Record<string, CurvePoint | null>>;
  readonly best: CurvePoint | null;
  readonly twice: boolean;
  readonly longer: boolean;
}

/** Null where there was no sweep, no healthy unit or no track. */
export function sweepResult(outcomes: readonly CaseOutcome[], judging: string): SweepResult | null {
  const healthy = healthyNames();
  const well = outcomes.filter(({ cohort }) => healthy.all.has(cohort));
  const ill = outcomes.filter(({ cohort }) => cohort.startsWith('track'));
  const names = Object.keys(ill[0]?.sweep ?? {});
  if (names.length === 0 || well.length === 0) return null;
  const own = (of: readonly CaseOutcome[]): LeakageFigures =>
    summed(of.map(({ units }) => leakageFigures(units[judging] ?? [])));
  if (own(ill).tracks === 0) return null;
  const ours = curvePoint(judging, own(well), own(ill));
  const swept = (of: readonly CaseOutcome[], name: string): LeakageFigures =>
    summed(of.flatMap(({ sweep }) => sweep?.[name] ?? []));
  const curves = Object.fromEntries(
    RIVAL_NAMES.map((rival) => [
      rival,
      names
        .filter((name) => name.startsWith(`${rival} at `))
        .map((name) => curvePoint(name, swept(well, name), swept(ill, name))),
    ]),
  );
  return compared(ours, curves);
}

function compared(ours: CurvePoint, curves: SweepResult['curves']): SweepResult {
  const atOurRate = Object.fromEntries(
    Object.entries(curves).map(([rival, curve]) => [rival, atRate(curve, ours.falsePerUnitYear)]),
  );
  const best = bestOf(Object.values(atOurRate));
  return {
    ours,
    curves,
    atOurRate,
    best,
    twice: best === null || ours.share >= 2 * best.share,
    longer: best === null || ours.medianWarningDays > best.medianWarningDays,
  };
}

/** The comparison and the curves as Markdown. */
export function sweepTable({ ours, curves, atOurRate, twice, longer }: SweepResult): string[] {
  const heads = ['', 'urgent, a healthy unit-year', 'urgent 24 h before', 'median warning, d'];
  const none = ['no setting is as quiet', '-', '-'];
  const equal = Object.entries(atOurRate).map(([rival, point]) => [
    `${rival}, at our rate`,
    ...(point === null ? none : cellsOf(point).slice(1)),
  ]);
  const all = Object.values(curves).flatMap((curve) => curve.map(cellsOf));
  const verdict = (holds: boolean): string => (holds ? 'met' : 'not met');
  return [
    ...markdownTable(heads, [cellsOf(ours), ...equal]),
    '',
    `At least twice the best rival's share: ${verdict(twice)}. ` +
      `Longer median warning: ${verdict(longer)}.`,
    '',
    ...markdownTable(heads, all),
  ];
}

function cellsOf({ name, falsePerUnitYear, share, medianWarningDays }: CurvePoint): string[] {
  return [
    name,
    falsePerUnitYear.toFixed(3),
    `${(100 * share).toFixed(1)} %`,
    medianWarningDays.toFixed(1),
  ];
}
