import { type BackTestCommand, checkFiles, intervalMs } from '../backtest/back-test-options.ts';
import { OUTPUT_SORT_LIMITS, SORT_LIMITS, type SortItem } from '../backtest/external-sort.ts';
import { openInput } from '../backtest/input-file.ts';
import type { InputKind } from '../backtest/json-line.ts';
import { type Input, judgeInputs } from '../backtest/judge-inputs.ts';
import { CHUNK_BYTES } from '../backtest/line-reader.ts';
import type { Outcome } from '../backtest/outcome.ts';
import { type Output, openOutput } from '../backtest/output-file.ts';
import { Progress } from '../backtest/progress.ts';
import type { Refusals } from '../backtest/refusals.ts';
import { TemporaryFiles } from '../backtest/temporary-files.ts';
import { EXIT } from '../failure.ts';
import { fleetFrom } from '../fleet-from-file.ts';
import { type BackTestCases, openCases } from '../verdicts/back-test-cases.ts';

/** Judges files of readings as if they had been measured live, without a server. */
export async function backtest(command: BackTestCommand): Promise<void> {
  checkFiles(command);
  const everyMs = intervalMs('--every', command.every);
  const fleet = fleetFrom(command.fleet);
  const temporary = new TemporaryFiles();
  try {
    const cases = await openCases(command, fleet, temporary);
    const outputs = await openOutputs(command, temporary, cases);
    const inputs = await openInputs(command, temporary);
    const progress = new Progress(inputs.reduce((sum, { file }) => sum + file.bytes, 0));
    const { outcome, refusals, span } = await judgeInputs({
      fleet,
      inputs,
      conditionEveryMs: command.conditions === undefined ? null : everyMs,
      chunkBytes: CHUNK_BYTES,
      inputSort: SORT_LIMITS,
      outputSort: OUTPUT_SORT_LIMITS,
      temporary,
      progress,
    });
    progress.end();
    for (const { output, lines } of outputs) await output.write(lines(outcome));
    for (const { output } of outputs) await output.finish();
    outcome.close();
    await cases?.report(span);
    tell(cases === null ? refusals : [...refusals, cases.refusals]);
  } finally {
    temporary.dispose();
  }
}

interface NamedOutput {
  readonly output: Output;
  readonly lines: (outcome: Outcome) => AsyncIterable<readonly SortItem[]>;
}

async function openOutputs(
  { alarms, episodes, conditions }: BackTestCommand,
  temporary: TemporaryFiles,
  cases: BackTestCases | null,
): Promise<readonly NamedOutput[]> {
  const wanted: readonly [string | undefined, NamedOutput['lines']][] = [
    [alarms, ({ alarms: found }) => cases?.noting(found.sorted()) ?? found.sorted()],
    [episodes, (outcome) => outcome.episodes.sorted()],
    [conditions, (outcome) => outcome.conditions.sorted()],
  ];
  const outputs: NamedOutput[] = [];
  for (const [name, lines] of wanted) {
    if (name !== undefined) outputs.push({ output: await openOutput(name, temporary), lines });
  }
  return outputs;
}

async function openInputs(
  { telemetry, weather, service }: BackTestCommand,
  temporary: TemporaryFiles,
): Promise<readonly Input[]> {
  const named: Record<InputKind, readonly string[]> = { weather, service, telemetry };
  const inputs: Input[] = [];
  for (const kind of ['weather', 'service', 'telemetry'] as const) {
    for (const name of named[kind]) {
      inputs.push({ kind, file: await openInput(name, temporary) });
    }
  }
  return inputs;
}

function tell(refusals: readonly Refusals[]): void {
  for (const each of refusals) {
    for (const line of each.report()) process.stderr.write(`${line}\n`);
  }
  if (refusals.some((each) => each.lines > 0)) process.exitCode = EXIT.someRefused;
}
