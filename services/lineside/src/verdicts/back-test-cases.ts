import { compareCases, type JudgedCase, type LabelledCase } from '@lineside/alarms';
import type { Fleet } from '@lineside/fleet';
import type { BackTestCommand } from '../backtest/back-test-options.ts';
import type { SortItem } from '../backtest/external-sort.ts';
import { openInput } from '../backtest/input-file.ts';
import { type Output, openOutput } from '../backtest/output-file.ts';
import { Refusals } from '../backtest/refusals.ts';
import type { TemporaryFiles } from '../backtest/temporary-files.ts';
import { caseJson, caseTable } from './case-report.ts';
import { noting } from './judged-cases.ts';
import { readCases } from './read-cases.ts';

type Batches = AsyncIterable<readonly SortItem[]>;

/** Labelled cases that a back-test is compared with. */
export interface BackTestCases {
  readonly refusals: Refusals;
  /** Passes alarm lines on, and keeps what the cases are compared with. */
  readonly noting: (lines: Batches) => Batches;
  /** Tells the counts; `span` is that of the events that were judged. */
  readonly report: (
    span: { readonly fromMs: number; readonly toMs: number } | null,
  ) => Promise<void>;
}

/**
 * Reads the cases that the command names; null when it names none.
 *
 * @throws CommandFailure (2) when a file cannot be read or written.
 */
export async function openCases(
  { verdicts, verdictReport }: BackTestCommand,
  fleet: Fleet,
  temporary: TemporaryFiles,
): Promise<BackTestCases | null> {
  if (verdicts === undefined) return null;
  const file = await openInput(verdicts, temporary);
  const refusals = new Refusals(file.name);
  const cases = await readCases(file, refusals);
  const output = verdictReport === undefined ? null : await openOutput(verdictReport, temporary);
  const judged: JudgedCase[] = [];
  const wanted = new Set(cases.map(placeOf));
  const places = new Set(fleet.units.map(({ site, id }) => placeOf({ site, unit: id })));
  return {
    refusals,
    noting: (lines) => noting(lines, (site, unit) => wanted.has(placeOf({ site, unit })), judged),
    report: async (span) => {
      const hasUnit = (site: string, unit: string): boolean => places.has(placeOf({ site, unit }));
      await tellCases(cases, judged, { ...(span ?? NOTHING), hasUnit }, output);
    },
  };
}

/** No time is within. */
const NOTHING = { fromMs: Number.POSITIVE_INFINITY, toMs: Number.NEGATIVE_INFINITY };

async function tellCases(
  cases: readonly LabelledCase[],
  judged: readonly JudgedCase[],
  span: Parameters<typeof compareCases>[2],
  output: Output | null,
): Promise<void> {
  const comparison = compareCases(cases, judged, span);
  process.stderr.write(caseTable(comparison));
  if (output === null) return;
  await output.write(linesOf(caseJson(comparison)));
  await output.finish();
}

async function* linesOf(text: string): AsyncGenerator<readonly SortItem[]> {
  yield [{ atMs: 0, tie: '', text }];
}

function placeOf({ site, unit }: { readonly site: string; readonly unit: string }): string {
  return `${site}/${unit}`;
}
