/** Compares what came with what a case expects. */
import type { Alarm } from '@lineside/alarms';
import type { WettingEpisode } from '@lineside/anomaly';
import type { UnitOutcome } from './judge-case.ts';
import type { Expectation, Expected, ScenarioCase } from './scenario-case.ts';
import { sinceStartWords, type TimeWindow } from './times.ts';

/** Everything that is wrong with the outcome, in the words of the case; empty: as expected. */
export function differences(
  scenario: ScenarioCase,
  outcomes: readonly UnitOutcome[],
): readonly string[] {
  const wrong = scenario.expectations.flatMap((expectation) => {
    const { place, text, unit, notYet } = expectation;
    const judged = outcomes.filter((outcome) => (unit ?? outcome.unit) === outcome.unit);
    const failing = judged.filter((outcome) => !holds(expectation, outcome, scenario));
    const where = `${place.file}, line ${place.line}: ${text}`;
    if (notYet) {
      return failing.length > 0 ? [] : [`${where}\n    holds now: take the words 'not yet:' away`];
    }
    const extra = failing.flatMap((outcome) => surplus(expectation, outcome, scenario));
    return failing.length === 0 ? [] : [[where, ...extra].join('\n    unexpected: ')];
  });
  if (wrong.length === 0) return [];
  return [...wrong, ...outcomes.map((outcome) => whatCame(outcome, scenario))];
}

function holds(expectation: Expectation, outcome: UnitOutcome, scenario: ScenarioCase): boolean {
  const { expected } = expectation;
  const { alarms, episodes } = outcome;
  const { startMs } = scenario;
  if (expected.type === 'nothing-else') return surplus(expectation, outcome, scenario).length === 0;
  if (expected.type === 'no-wetting') return episodes.length === 0;
  if (expected.type === 'wetting') {
    return episodes.some((episode) => isWetting(episode, expected, startMs));
  }
  const ofKind = alarms.filter(({ kind }) => kind === expected.kind);
  if (expected.type === 'never') return ofKind.length === 0;
  if (expected.type === 'stands') return ofKind.some(({ standing }) => standing);
  if (expected.type === 'raised') {
    return ofKind.some(({ priorities }) =>
      priorities.some((step) => isStep(step, expected, startMs)),
    );
  }
  return ofKind.some(
    ({ clearedAtMs }) => clearedAtMs !== null && isWithin(clearedAtMs - startMs, expected.at),
  );
}

type PriorityStep = Alarm['priorities'][number];

function isStep(
  step: PriorityStep,
  { priority, at, cause }: Extract<Expected, { type: 'raised' }>,
  startMs: number,
): boolean {
  return (
    step.priority === priority &&
    isWithin(step.sinceMs - startMs, at) &&
    (cause === null || step.causes[0]?.cause === cause)
  );
}

function isWetting(
  episode: WettingEpisode,
  { source, begins, ends }: Extract<Expected, { type: 'wetting' }>,
  startMs: number,
): boolean {
  return (
    episode.source === source &&
    isWithin(episode.startMs - startMs, begins) &&
    (ends === null || (episode.endMs !== null && isWithin(episode.endMs - startMs, ends)))
  );
}

function isWithin(sinceMs: number, { fromMs, toMs }: TimeWindow): boolean {
  return sinceMs >= fromMs && sinceMs <= toMs;
}

/** Alarm steps and wettings that no line expects; only 'nothing else' has any. */
function surplus(
  { expected }: Expectation,
  outcome: UnitOutcome,
  { expectations, startMs }: ScenarioCase,
): readonly string[] {
  if (expected.type !== 'nothing-else') return [];
  const others = expectations
    .filter((each) => !each.notYet && (each.unit ?? outcome.unit) === outcome.unit)
    .map((each) => each.expected);
  const steps = outcome.alarms.flatMap((alarm) =>
    alarm.priorities
      .filter((step) => !others.some((each) => expectsStep(each, alarm, step, startMs)))
      .map((step) => stepWords(alarm, step, startMs)),
  );
  const wettings = outcome.episodes
    .filter(
      (each) => !others.some((one) => one.type === 'wetting' && isWetting(each, one, startMs)),
    )
    .map((episode) => wettingWords(episode, startMs));
  return [...steps, ...wettings];
}

function expectsStep(
  expected: Expected,
  { kind }: Alarm,
  step: PriorityStep,
  startMs: number,
): boolean {
  return expected.type === 'raised' && expected.kind === kind && isStep(step, expected, startMs);
}

/** The outcome in the words in which it would be expected. */
function whatCame({ unit, alarms, episodes }: UnitOutcome, { startMs }: ScenarioCase): string {
  const lines = [
    ...alarms.flatMap((alarm) => [
      ...alarm.priorities.map((step) => stepWords(alarm, step, startMs)),
      alarm.clearedAtMs === null
        ? `${alarm.kind} stands`
        : `${alarm.kind} clears at ${sinceStartWords(alarm.clearedAtMs - startMs)}`,
    ]),
    ...episodes.map((episode) => wettingWords(episode, startMs)),
  ];
  const came = lines.length === 0 ? ['nothing'] : lines;
  return [`of ${unit} came:`, ...came].join('\n    ');
}

function stepWords({ kind, headline }: Alarm, step: PriorityStep, startMs: number): string {
  const causes = step.causes.map(({ cause, probability }) => `${cause} ${probability}`).join(', ');
  const at = sinceStartWords(step.sinceMs - startMs);
  return `${kind} ${step.priority} at ${at} because ${causes} # ${headline}`;
}

function wettingWords({ source, startMs: fromMs, endMs }: WettingEpisode, startMs: number): string {
  const ends = endMs === null ? ' # goes on' : ` ends ${sinceStartWords(endMs - startMs)}`;
  return `wetting ${source} begins ${sinceStartWords(fromMs - startMs)}${ends}`;
}
