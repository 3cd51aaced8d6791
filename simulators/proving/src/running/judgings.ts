import type { RivalSettings } from '../rivals/rival.ts';
import { RivalJudge } from '../rivals/rival-judge.ts';
import { houseJudges } from './house-judge.ts';
import type { Judging } from './run-case.ts';

/** Our own judgement's name in tables. */
export const HOUSE = 'lineside';

export function houseJudging(): Judging {
  return { name: HOUSE, judges: houseJudges };
}

export function rivalJudging(name: string, settings: RivalSettings): Judging {
  return { name, judges: (units) => units.map((unit) => new RivalJudge(unit, settings)) };
}
