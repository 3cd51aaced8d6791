import type { CasePlan } from '../cohorts/case-plan.ts';
import type { RivalSettings } from '../rivals/rival.ts';
import type { TunedRivals } from '../tuning/tuned-file.ts';
import { HOUSE, houseJudging, rivalJudging } from './judgings.ts';
import type { CaseOutcome, Judging } from './run-case.ts';

/** A rival by the name that its column has. */
export interface NamedRival {
  readonly name: string;
  readonly settings: RivalSettings;
}

/** What a thread is told to run: one case, us always, and these rivals. Plain data. */
export interface CaseOrder {
  readonly index: number;
  readonly plan: CasePlan;
  readonly rivals: readonly NamedRival[];
  /** Rivals to be swept as well, as they were tuned; null: none. */
  readonly sweep: TunedRivals | null;
  /** Whether the detector that knows the world watches as well. */
  readonly ideal: boolean;
}

/** What a thread answers. */
export interface CaseAnswer {
  readonly index: number;
  readonly outcome: CaseOutcome;
}

export function judgingsOf(rivals: readonly NamedRival[]): readonly Judging[] {
  for (const { name } of rivals) {
    if (name === HOUSE) throw new RangeError(`no rival may be called '${HOUSE}'`);
  }
  return [houseJudging(), ...rivals.map(({ name, settings }) => rivalJudging(name, settings))];
}
