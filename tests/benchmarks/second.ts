/** The house judges a second world, whose formulas are not those of the simulator it is tuned on. */
import type { Alarm } from '@lineside/alarms';
import type { WettingEpisode } from '@lineside/anomaly';
import { BackTest, phasesOf } from '@lineside/judging';
import {
  CLASS_RULES,
  classOf,
  firstWarning,
  isExplained,
  NOT_THE_FIELD,
  namesCause,
  type ObservedUnit,
  observedUnits,
  placeSaid,
  scoreUnits,
} from '@lineside/proving';
import {
  FIRST_REPORTED_BLOCK,
  PLAIN_COHORTS,
  plainCase,
  runPlain,
} from '../../simulators/second-opinion/src/index.ts';
import type { BenchOptions } from './bench-options.ts';

const USUAL = { cases: 4, weeks: 8 };
const HOUR_MS = 3_600_000;

/** What was said about one unit of one case. */
interface Seen {
  readonly cohort: string;
  readonly index: number;
  readonly unit: ObservedUnit;
}

/** `npm run bench -- second [--cohort WORDS] [--cases N] [--weeks N] [--seed BLOCK]` */
export function benchSecondWorld(options: BenchOptions): Promise<void> {
  const { cohort, seed } = options;
  const cases = options.cases ?? USUAL.cases;
  const weeks = options.weeks ?? USUAL.weeks;
  const block = seed ?? FIRST_REPORTED_BLOCK;
  const all: ObservedUnit[] = [];
  console.log(`${NOT_THE_FIELD}; block ${block}, ${cases} cases a cohort, ${weeks} weeks`);
  for (const one of PLAIN_COHORTS) {
    if (cohort !== null && !one.name.includes(cohort)) continue;
    const seen: Seen[] = [];
    for (let index = 0; index < cases; index += 1) {
      const units = judged(plainCase(one, index, { weeks, block }));
      seen.push(...units.map((unit) => ({ cohort: one.name, index, unit })));
    }
    all.push(...seen.map(({ unit }) => unit));
    for (const line of [cohortLine(one.name, seen), ...seen.flatMap(mistakesOf)]) console.log(line);
  }
  const { falseAlarms, chatter, episodes, phaseLoss, fusesGone } = scoreUnits(all);
  console.log(JSON.stringify({ falseAlarms, chatter, episodes, phaseLoss, fusesGone }, null, 1));
  console.log(NOT_THE_FIELD);
  return Promise.resolve();
}

function judged(plan: ReturnType<typeof plainCase>): readonly ObservedUnit[] {
  const site = plan.fleet.sites[0]?.id ?? '';
  const found = plan.fleet.units.map(({ id }) => ({
    unit: id,
    alarms: [] as Alarm[],
    episodes: [] as WettingEpisode[],
  }));
  const of = new Map(found.map((one) => [one.unit, one]));
  const backTest = new BackTest({
    units: plan.fleet.units,
    conditionEveryMs: null,
    sink: {
      alarm: ({ id }, alarm) => of.get(id)?.alarms.push(alarm),
      episode: ({ id }, episode) => of.get(id)?.episodes.push(episode),
      condition: () => undefined,
    },
  });
  const truth = runPlain(plan, {
    reading: (unit, atMs, channels) => backTest.reading(site, unit, atMs, channels),
    weather: (report) => backTest.weather(report),
    service: (unit, { atMs, actions, phases }) => {
      for (const action of actions) {
        backTest.service(site, unit, { atMs, action, phases: phasesOf(phases) });
      }
    },
  });
  backTest.passed(plan.endMs);
  backTest.end();
  return observedUnits(
    truth,
    found.map((one) => ({ site, observedMs: null, ...one })),
  );
}

/** One line: what was owed, what was told, what was false. */
function cohortLine(name: string, seen: readonly Seen[]): string {
  const score = scoreUnits(seen.map(({ unit }) => unit));
  const told = Object.values(score.classes)
    .filter(({ cases }) => cases > 0)
    .map((one) => {
      const before = one.recallBeforeFailure;
      const there = one.recallWhileThere;
      const part = ({ hits, of }: { hits: number; of: number }): string => `${hits}/${of}`;
      const all = [
        `unseen ${one.neverObservable}`,
        `no wetting ${one.withoutWettingInTime}`,
        `before failure ${part(before.routine)} urgent ${part(before.urgent)}`,
        `while there ${part(there.routine)}`,
        `cause ${part(one.causeRight.routine)}`,
        `place wrong ${part(one.place.wrong)}`,
        `delay h ${one.delayHours?.median.toFixed(1) ?? '-'}`,
      ];
      return `${one.faultClass} ${one.cases}: ${all.join(', ')}`;
    });
  const { count, total, unitYears } = score.falseAlarms;
  const wrong = `false ${total} in ${unitYears.toFixed(1)} a (urgent ${count.urgent}, emergency ${count.emergency})`;
  return `## ${name}: ${[...told, wrong].join('; ')}`;
}

/** Each mistake on a line, with all that is needed to look at it again. */
function mistakesOf({ cohort, index, unit }: Seen): string[] {
  const where = `  ${cohort} #${index} ${unit.truth.unit}`;
  const startMs = unit.endMs - unit.observedMs;
  const day = (atMs: number): string => `day ${((atMs - startMs) / (24 * HOUR_MS)).toFixed(2)}`;
  const lines: string[] = [];
  for (const fault of unit.truth.faults) {
    if (fault.observableMs === null) continue;
    const rules = CLASS_RULES[classOf(fault)];
    if (Object.keys(rules.warns).length === 0) continue;
    const warning = firstWarning(fault, rules, unit, 'routine');
    const seenOn = `seen ${day(fault.observableMs)}, fails ${fault.failureMs === null ? '-' : day(fault.failureMs)}`;
    if (warning === null) {
      const said = unit.alarms.map(
        ({ kind, priorities }) => `${kind}/${priorities[0]?.causes[0]?.cause}`,
      );
      lines.push(`${where}: MISSED ${fault.fault}, ${seenOn}; said ${said.join(' ') || 'nothing'}`);
      continue;
    }
    const { kind } = warning.alarm;
    const cause = warning.step.causes[0]?.cause ?? 'none';
    if (!namesCause(warning, unit)) lines.push(`${where}: CAUSE ${kind} says ${cause}, ${seenOn}`);
    else if (rules.place !== null && placeSaid(warning, unit) === 'wrong') {
      lines.push(`${where}: PLACE of ${kind} wrong, ${seenOn}`);
    }
  }
  for (const alarm of unit.alarms) {
    if (isExplained(alarm, unit.truth)) continue;
    const cause = alarm.priorities[0]?.causes[0]?.cause ?? 'none';
    const what = `${alarm.kind}/${cause} ${alarm.priority} ${day(alarm.raisedAtMs)}`;
    lines.push(`${where}: FALSE ${what}: ${alarm.headline}`);
  }
  return lines;
}
