import type { Alarm } from '@lineside/alarms';
import { type FindingChange, type FindingKind, PRIORITIES } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import { enterFinding } from '@lineside/judging';
import type { ChannelValues } from '@lineside/readings';
import { RUNNING_AMPS } from '../rivals/features.ts';
import { Ladder, type LadderChange } from '../rivals/ladder.ts';
import { levelIn, type ScoreRule } from '../rivals/level-rule.ts';
import { RIVAL_NAMES } from '../rivals/rival.ts';
import { rivalCauses } from '../rivals/rival-causes.ts';
import type { LoadState } from '../rivals/signals.ts';
import type { Judge, Judged } from '../running/judge.ts';
import type { Judging } from '../running/run-case.ts';
import type { TunedRivals } from '../tuning/tuned-file.ts';
import { type SweepPoint, scoreRuleOf, sweepPoints } from './sweep-points.ts';

/** One judging for each point, for one case: points of a rival share what it learns of a unit. */
export function sweepJudgings(tuned: TunedRivals): readonly Judging[] {
  const points = sweepPoints(tuned);
  return RIVAL_NAMES.flatMap((rival) => {
    const scores = new WeakMap<Unit, LeakageScore>();
    const scoreOf = (unit: Unit): LeakageScore => {
      const known = scores.get(unit) ?? new LeakageScore(scoreRuleOf(rival, tuned));
      scores.set(unit, known);
      return known;
    };
    return points
      .filter((point) => point.rival === rival)
      .map((point) => ({
        name: sweepName(point),
        judges: (units: readonly Unit[]) =>
          units.map((unit) => new SweepJudge(unit, point, scoreOf(unit))),
      }));
  });
}

function sweepName({ rival, urgent }: SweepPoint): string {
  return `${rival} at ${urgent}`;
}

interface Scored {
  readonly state: LoadState;
  readonly score: number;
}

/** Scores each reading once, whoever asks first. */
class LeakageScore {
  readonly #rule: ScoreRule;
  #atMs: number = Number.NaN;
  #newest: Scored | null = null;

  constructor(rule: ScoreRule) {
    this.#rule = rule;
  }

  of(atMs: number, { ia, ib, ic, leak }: ChannelValues): Scored | null {
    if (atMs === this.#atMs) return this.#newest;
    this.#atMs = atMs;
    this.#newest = null;
    if (leak === undefined || ia === undefined || ib === undefined || ic === undefined) return null;
    const state = Math.max(ia, ib, ic) >= RUNNING_AMPS ? 'running' : 'idle';
    const score = this.#rule.score(atMs, state, 1000 * leak);
    if (score !== null) this.#newest = { state, score };
    return this.#newest;
  }
}

/** A rival at one setting, watching leakage alone. */
class SweepJudge implements Judge {
  readonly #unit: Unit;
  readonly #point: SweepPoint;
  readonly #score: LeakageScore;
  readonly #ladder: Ladder;
  readonly #ledger = new Map<FindingKind, Alarm>();
  readonly #alarms: Alarm[] = [];

  constructor(unit: Unit, point: SweepPoint, score: LeakageScore) {
    this.#unit = unit;
    this.#point = point;
    this.#score = score;
    this.#ladder = new Ladder(point.holdMinutes);
  }

  weather(): void {
    // Leakage alone is judged.
  }

  reading(atMs: number, channels: ChannelValues): void {
    const scored = this.#score.of(atMs, channels);
    if (scored === null) return;
    const { routine, urgent } = this.#point;
    const level = levelIn({ routine, urgent, emergency: Infinity }, scored.score);
    const change = this.#ladder.step(atMs, scored.state, level);
    if (change !== null) this.#enter(this.#finding(change, atMs, scored.score));
  }

  service(): void {
    // Rivals do not read service records.
  }

  end(): Judged {
    return { alarms: [...this.#alarms, ...this.#ledger.values()], episodes: [] };
  }

  #finding(change: LadderChange, atMs: number, score: number): FindingChange {
    if (change.change === 'closed') return { change: 'closed', kind: 'leakage', atMs };
    return {
      change: change.change,
      kind: 'leakage',
      priority: PRIORITIES[change.level],
      atMs,
      headline: `leakage out of control while ${change.state}`,
      evidence: { score },
      causes: rivalCauses(
        'leakage',
        !this.#ladder.inControl('idle'),
        !this.#ladder.inControl('running'),
      ),
    };
  }

  #enter(change: FindingChange): void {
    const place = { site: this.#unit.site, unit: this.#unit.id };
    enterFinding(this.#ledger, change, place, (alarm) => this.#alarms.push(alarm));
  }
}
