import type { Fleet } from '@lineside/fleet';
import { BackTest } from '@lineside/judging';
import { type EventSource, eventsInOrder, eventsSorted, OutOfOrder } from './event-batches.ts';
import type { SortLimits } from './external-sort.ts';
import type { InputFile } from './input-file.ts';
import type { InputKind } from './json-line.ts';
import { KnownPlaces } from './known-places.ts';
import { mergeSorted } from './merge-sorted.ts';
import { Outcome } from './outcome.ts';
import type { Progress } from './progress.ts';
import { Refusals } from './refusals.ts';
import type { TemporaryFiles } from './temporary-files.ts';
import { compareEvents, RANK, type TestEvent } from './test-event.ts';

/** What an input is, and the file with it. */
export interface Input {
  readonly kind: InputKind;
  readonly file: InputFile;
}

export interface JudgeOptions {
  readonly fleet: Fleet;
  /** Of the first value of a channel and time, an earlier input counts as earlier. */
  readonly inputs: readonly Input[];
  readonly conditionEveryMs: number | null;
  readonly chunkBytes: number;
  readonly inputSort: SortLimits;
  readonly outputSort: SortLimits;
  readonly temporary: TemporaryFiles;
  readonly progress: Progress;
}

export interface Judged {
  readonly outcome: Outcome;
  /** In the order of the inputs. */
  readonly refusals: readonly Refusals[];
  /** Times of the first and the last event; null without any. */
  readonly span: { readonly fromMs: number; readonly toMs: number } | null;
}

/**
 * Judges the inputs, whatever order their lines are in. Each is taken to be in order of event time
 * until that proves wrong; then everything starts over, and that input is sorted.
 */
export async function judgeInputs(options: JudgeOptions): Promise<Judged> {
  const places = new KnownPlaces(options.fleet);
  const unsorted = new Set<InputFile>();
  while (true) {
    const outcome = new Outcome(options.temporary, options.outputSort);
    try {
      return { outcome, ...(await judgeOnce(options, places, unsorted, outcome)) };
    } catch (error) {
      outcome.close();
      if (!(error instanceof OutOfOrder)) throw error;
      unsorted.add(error.input);
      options.progress.restart(`${error.message}; sorting it by time`);
    }
  }
}

async function judgeOnce(
  { fleet, inputs, conditionEveryMs, chunkBytes, inputSort, temporary, progress }: JudgeOptions,
  places: KnownPlaces,
  unsorted: ReadonlySet<InputFile>,
  outcome: Outcome,
): Promise<Omit<Judged, 'outcome'>> {
  const sources = inputs.map(({ kind, file }): EventSource => {
    const context = { kind, places, refusals: new Refusals(file.name) };
    return { input: file, context, chunkBytes, counted: progress.counted };
  });
  const batches = sources.map((source) =>
    unsorted.has(source.input) ? eventsSorted(source, temporary, inputSort) : eventsInOrder(source),
  );
  const test = new BackTest({ units: fleet.units, sink: outcome, conditionEveryMs });
  let fromMs: number | null = null;
  let toMs = 0;
  for await (const events of mergeSorted(batches, compareEvents)) {
    for (const event of events) judge(test, event);
    fromMs ??= events[0]?.atMs ?? null;
    toMs = events.at(-1)?.atMs ?? toMs;
    progress.judged(events.length);
  }
  test.end();
  const span = fromMs === null ? null : { fromMs, toMs };
  return { refusals: sources.map(({ context }) => context.refusals), span };
}

function judge(test: BackTest, { rank, site, unit, atMs, channels, service }: TestEvent): void {
  if (service !== null) test.service(site, unit, service);
  else if (channels === null) test.passed(atMs);
  else if (rank === RANK.weather) test.weather({ site, unit, atMs, channels });
  else test.reading(site, unit, atMs, channels);
}
