import {
  type Cause,
  FINDING_KINDS,
  type FindingKind,
  type FittedRow,
  fittedOf,
  HYPOTHESES,
  MARK_NAMES,
  MARKS,
  type MarkName,
  posteriorOf,
} from '@lineside/anomaly';
import { COHORTS, caseOf } from '../cohorts/cohorts.ts';
import { TUNING } from '../cohorts/tuning-table.ts';
import { HOUSE } from '../running/judgings.ts';
import { runCases } from '../running/run-cases.ts';
import { rightCauses } from '../scoring/leading-cause.ts';
import type { ObservedUnit } from '../scoring/observed-unit.ts';

/** What one alarm showed, and which first causes would have been right. */
export interface Judged {
  readonly kind: FindingKind;
  readonly marks: readonly MarkName[];
  readonly right: ReadonlySet<Cause>;
}

export interface Calibration {
  readonly rows: readonly FittedRow[];
  /** How it was made, line by line. */
  readonly made: readonly string[];
}

/** Our world is one of many: no fit moves a factor of the trade further than this. */
const MOST_TIMES = 1.6;
/** A factor that speaks for a cause goes on to, by at least this much. */
const LEAST_LEAN = 1.1;
/**
 * Not fitted: which side a leak is on is committed to by `leakage`, and rests on the trade's own
 * factors alone; what neighbours do to a dead or silent unit is not among its marks.
 */
const NOT_FITTED: ReadonlySet<FindingKind> = new Set(['leakage', 'supply-loss', 'silent']);
/** Alarms of a kind below which nothing is fitted. */
const LEAST_ALARMS = 30;
/** Worth of the trade's own factors, in alarms that say the opposite. */
const RIDGE = 4;
const STEPS: readonly number[] = [0.4, 0.2, 0.1, 0.05];
const ROUNDS_MOST = 60;

/**
 * Fits what each factor of the evidence table is multiplied by, on the tuning cohorts. Each kind
 * by itself: the likelihood that the right causes get is raised, and a ridge pulls each multiplier
 * back to 1.
 */
export async function calibrate(
  {
    cases,
    weeks,
    blocks,
  }: { readonly cases: number; readonly weeks: number; readonly blocks: number },
  progress: (done: number, of: number) => void,
): Promise<Calibration> {
  const plans = COHORTS.flatMap((cohort) =>
    Array.from({ length: blocks }, (_, block) => block).flatMap((block) =>
      Array.from({ length: cohort.healthy ? Math.ceil(cases / 2) : cases }, (_, index) =>
        caseOf(TUNING, cohort, index, { weeks, block: block === 0 ? 0 : block + 1 }),
      ),
    ),
  );
  const outcomes = await runCases(plans, [], progress);
  const judged = outcomes.flatMap(({ units }) => (units[HOUSE] ?? []).flatMap(judgedOf));
  const counts = FINDING_KINDS.filter((kind) => !NOT_FITTED.has(kind)).map(
    (kind) => `${kind} ${judged.filter((one) => one.kind === kind).length}`,
  );
  return {
    rows: FINDING_KINDS.flatMap((kind) =>
      fitKind(
        kind,
        judged.filter((one) => one.kind === kind),
      ),
    ),
    made: [
      `Fitted on simulated units by 'npm run bench -- calibrate': tuning cohorts, ${cases} cases,`,
      `${weeks} weeks, blocks of seeds: ${blocks}. Alarms, of which a kind needs ${LEAST_ALARMS}:`,
      `${counts.join(', ')}.`,
    ],
  };
}

/** The alarms of a unit whose newest judgement has its marks told. */
function judgedOf({ alarms, truth }: ObservedUnit): readonly Judged[] {
  return alarms.flatMap((alarm) => {
    const { kind, evidence, priorities, raisedAtMs } = alarm;
    const told = evidence['marks'];
    // What neighbours added is not among the marks.
    if (typeof told !== 'string' || 'neighboursLive' in evidence) return [];
    const marks = MARK_NAMES.filter((name) => told.split(' ').includes(name));
    const atMs = priorities.at(-1)?.sinceMs ?? raisedAtMs;
    return [{ kind, marks, right: rightCauses({ kind, atMs }, alarm, truth) }];
  });
}

/** Coordinate descent over the logarithms of the multipliers; same alarms, same rows. */
export function fitKind(kind: FindingKind, judged: readonly Judged[]): readonly FittedRow[] {
  if (NOT_FITTED.has(kind) || judged.length < LEAST_ALARMS) return [];
  const logs = new Map<string, number>();
  const places = placesOf(kind, judged);
  const rowsNow = (): FittedRow[] =>
    places.map(([of, cause]) => [kind, of, cause, Math.exp(logs.get(`${of} ${cause}`) ?? 0)]);
  let best = costOf(kind, judged, rowsNow());
  for (const step of STEPS) {
    for (let round = 0; round < ROUNDS_MOST; round += 1) {
      const before = best;
      for (const [of, cause] of places) {
        const key = `${of} ${cause}`;
        const from = logs.get(key) ?? 0;
        for (const to of [from - step, from + step]) {
          logs.set(key, to);
          const cost = isAllowed(of, cause, to, logs) ? costOf(kind, judged, rowsNow()) : Infinity;
          if (cost < best - 1e-9) {
            best = cost;
            break;
          }
          logs.set(key, from);
        }
      }
      if (before - best < 1e-6) break;
    }
  }
  return rowsNow()
    .map(([, of, cause, times]) => [kind, of, cause, Math.round(times * 100) / 100] as const)
    .filter(([, , , times]) => times !== 1);
}

type Place = readonly [of: MarkName | 'odds', cause: Cause];

function placesOf(kind: FindingKind, judged: readonly Judged[]): readonly Place[] {
  const causes = HYPOTHESES[kind].map(({ cause }) => cause);
  const seen = MARK_NAMES.filter((name) => judged.some(({ marks }) => marks.includes(name)));
  return [
    ...causes.map((cause) => ['odds', cause] as const),
    ...seen.flatMap((name) =>
      causes
        .filter((cause) => MARKS[name].factors[cause] !== undefined)
        .map((cause) => [name, cause] as const),
    ),
  ];
}

/** Within the bound, and still for what the trade says it is for, most of all what it is most. */
function isAllowed(
  of: MarkName | 'odds',
  cause: Cause,
  log: number,
  logs: ReadonlyMap<string, number>,
): boolean {
  if (Math.abs(log) > Math.log(MOST_TIMES) + 1e-9) return false;
  if (of === 'odds') return true;
  const factors = Object.entries(MARKS[of].factors) as [Cause, number][];
  const most = Math.max(...factors.map(([, factor]) => factor));
  const now = (name: Cause, factor: number): number =>
    factor * Math.exp(name === cause ? log : (logs.get(`${of} ${name}`) ?? 0));
  return factors.every(([name, factor]) => {
    const after = now(name, factor);
    if (factor > 1 ? after < LEAST_LEAN : after > 1 / LEAST_LEAN) return false;
    const strongest = factors.find(([, one]) => one === most);
    return strongest === undefined || after <= now(...strongest) + 1e-9;
  });
}

function costOf(kind: FindingKind, judged: readonly Judged[], rows: readonly FittedRow[]): number {
  const fitted = fittedOf(rows);
  let cost = rows.reduce((sum, [, , , times]) => sum + RIDGE * Math.log(times) ** 2, 0);
  for (const { marks, right } of judged) {
    const posterior = posteriorOf(
      kind,
      marks.map((mark) => ({ mark })),
      fitted,
    );
    const truly: Iterable<Cause> = right.size > 0 ? right : ['unknown'];
    let share = 0;
    for (const cause of truly) share += posterior.get(cause) ?? 0;
    cost -= Math.log(Math.max(share, 0.02));
  }
  return cost;
}
