import { parseArgs } from 'node:util';

/** What may stand on the command line beside the names; null: the benchmark's own default. */
export interface BenchOptions {
  readonly cases: number | null;
  readonly weeks: number | null;
  readonly seed: number | null;
  readonly seeds: number | null;
  readonly from: number | null;
  readonly lines: number | null;
  readonly seconds: number | null;
  readonly rate: number | null;
  readonly outage: string | null;
  readonly units: number | null;
  readonly days: number | null;
  /** Minutes between two readings. */
  readonly every: number | null;
  /** Words in a cohort's name. */
  readonly cohort: string | null;
}

/** @throws Error for an option that there is not, or one that is no whole number of 0 or more. */
export function benchArguments(args: readonly string[]): {
  readonly names: readonly string[];
  readonly options: BenchOptions;
} {
  const text = { type: 'string' } as const;
  const { values, positionals } = parseArgs({
    args: [...args],
    allowPositionals: true,
    options: {
      cases: text,
      weeks: text,
      seed: text,
      seeds: text,
      from: text,
      lines: text,
      seconds: text,
      rate: text,
      outage: text,
      units: text,
      days: text,
      every: text,
      cohort: text,
    },
  });
  const options = {
    cases: whole('cases', values.cases),
    weeks: whole('weeks', values.weeks),
    seed: whole('seed', values.seed),
    seeds: whole('seeds', values.seeds),
    from: whole('from', values.from),
    lines: whole('lines', values.lines),
    seconds: whole('seconds', values.seconds),
    rate: whole('rate', values.rate),
    outage: values.outage ?? null,
    units: whole('units', values.units),
    days: whole('days', values.days),
    every: whole('every', values.every),
    cohort: values.cohort ?? null,
  };
  return { names: positionals, options };
}

function whole(name: string, value: string | undefined): number | null {
  if (value === undefined) return null;
  if (!/^\d{1,9}$/.test(value)) throw new Error(`--${name} is '${value}', not a whole number`);
  return Number(value);
}
