import { resolve } from 'node:path';
import { CommandFailure, EXIT } from '../failure.ts';
import { STANDARD } from './input-file.ts';

/** As the command line has them. */
export interface BackTestCommand {
  readonly fleet: string;
  readonly telemetry: readonly string[];
  readonly weather: readonly string[];
  readonly service: readonly string[];
  readonly alarms: string;
  readonly episodes?: string;
  readonly conditions?: string;
  readonly every: string;
  readonly verdicts?: string;
  readonly verdictReport?: string;
}

const MS_PER: Readonly<Record<string, number>> = { m: 60_000, h: 3_600_000, d: 86_400_000 };
/** Longer than any history that is kept. */
const LONGEST_INTERVAL_MS = 400 * 86_400_000;

/**
 * The interval of an option such as `5m`, `1h` or `1d`, ms.
 *
 * @throws CommandFailure (2)
 */
export function intervalMs(option: string, text: string): number {
  const [, count = '', unit = ''] = /^(\d{1,6})([mhd])$/.exec(text) ?? [];
  const interval = Number(count) * (MS_PER[unit] ?? 0);
  if (interval > 0 && interval <= LONGEST_INTERVAL_MS) return interval;
  const words = `${option}: expected 1m to 400d, such as 5m, 1h or 1d, found '${text}'`;
  throw new CommandFailure(EXIT.badInput, words);
}

/**
 * Makes sure that files do not get into each other's way.
 *
 * @throws CommandFailure (2)
 */
export function checkFiles(command: BackTestCommand): void {
  const { fleet, telemetry, weather, service, verdicts, verdictReport } = command;
  if (verdictReport !== undefined && verdicts === undefined) {
    throw new CommandFailure(EXIT.badInput, '--verdict-report goes with --verdicts');
  }
  const inputs = [fleet, ...telemetry, ...weather, ...service, ...(verdicts ? [verdicts] : [])];
  const { alarms, episodes, conditions } = command;
  const outputs = [alarms, episodes, conditions, verdictReport].filter(
    (name) => name !== undefined,
  );
  if (inputs.filter((name) => name === STANDARD).length > 1) {
    throw new CommandFailure(EXIT.badInput, "only one input can be '-', standard input");
  }
  if (outputs.filter((name) => name === STANDARD).length > 1) {
    throw new CommandFailure(EXIT.badInput, "only one output can be '-', standard output");
  }
  const taken = new Set(inputs.filter(isFile).map((name) => resolve(name)));
  for (const name of outputs.filter(isFile)) {
    if (taken.has(resolve(name)) && !name.startsWith('/dev/')) {
      throw new CommandFailure(EXIT.badInput, `${name}: an output needs a file of its own`);
    }
    taken.add(resolve(name));
  }
}

function isFile(name: string): boolean {
  return name !== STANDARD;
}
