/** Simulates a range of seeds; prints a line of JSON for each. For `simulate.ts`. */
import { argv } from 'node:process';
import { reportOf } from '../pipeline/report.ts';
import { simulate } from '../pipeline/simulate.ts';

export interface SimulatedLine {
  readonly seed: number;
  readonly lives: number;
  readonly readings: number;
  readonly entries: number;
  /** Null when everything holds. */
  readonly report: string | null;
}

const [from = 1, count = 0, step = 1] = argv.slice(2).map(Number);
for (let seed = from; seed < from + count; seed += step) {
  const outcome = await simulate(seed);
  const { lives, readings, journal, failures } = outcome;
  const line: SimulatedLine = {
    seed,
    lives,
    readings,
    entries: Object.values(journal).reduce((sum, one) => sum + one, 0),
    report: failures.length === 0 ? null : reportOf(outcome),
  };
  console.log(JSON.stringify(line));
}
