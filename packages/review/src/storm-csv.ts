import { type CsvCell, csvText, rfc3339 } from '@lineside/alarms';
import { fusesInWords } from './fuses-lost.ts';
import type { StormReview } from './storm-review.ts';
import type { UnitReview } from './unit-review.ts';
import { rounded } from './words.ts';

const COLUMNS: readonly (readonly [string, (unit: UnitReview) => CsvCell])[] = [
  ['site', ({ site }) => site],
  ['unit', ({ unit }) => unit],
  ['name', ({ name }) => name],
  ['source', ({ source }) => source],
  ['first wet', ({ wettings }) => timeOrNull(wettings[0]?.startMs ?? null)],
  ['wet hours', ({ wetHours }) => Number(rounded(wetHours, 2))],
  ['wet now', ({ isWet }) => isWet],
  ['drying hours', ({ dryingHours }) => numberOrNull(dryingHours)],
  ['peak leakage mA', ({ peakMilliamps }) => numberOrNull(peakMilliamps)],
  ['highest moment mA', ({ highestMomentMilliamps }) => numberOrNull(highestMomentMilliamps)],
  ['usual leakage mA', ({ usualMilliamps }) => numberOrNull(usualMilliamps)],
  ['usual leakage is', ({ usualBasis }) => usualBasis],
  ['excess leakage mA', ({ excessMilliamps }) => numberOrNull(excessMilliamps)],
  ['alarms', ({ alarms }) => alarms.length],
  ['highest priority', ({ highestPriority }) => highestPriority],
  ['alarm headlines', ({ alarms }) => textOrNull(alarms.map(({ headline }) => headline))],
  [
    'longest minutes to acknowledge',
    ({ minutesToAcknowledge }) => numberOrNull(minutesToAcknowledge),
  ],
  ['not acknowledged', ({ unacknowledged }) => unacknowledged],
  ['fuses lost', ({ fuses }) => fusesInWords(fuses)],
  ['visit', ({ visit }) => visit.turn],
  ['visit because', ({ visit }) => visit.because],
  ['bring', ({ visit }) => textOrNull(visit.bring)],
  ['access', ({ access }) => access],
];

/** A review's units as CSV (RFC 4180), in order of harm, after a line of column names. */
export function stormCsv({ units }: StormReview): string {
  const rows = units.map((unit, place) => [place + 1, ...COLUMNS.map(([, cell]) => cell(unit))]);
  return csvText([['order', ...COLUMNS.map(([name]) => name)], ...rows]);
}

function timeOrNull(atMs: number | null): string | null {
  return atMs === null ? null : rfc3339(atMs);
}

function numberOrNull(value: number | null): number | null {
  return value === null ? null : Number(rounded(value, 2));
}

function textOrNull(lines: readonly string[]): string | null {
  return lines.length === 0 ? null : lines.join('; ');
}
