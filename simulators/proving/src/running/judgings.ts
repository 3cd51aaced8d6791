import type { RivalSettings } from '../rivals/rival.ts';
import { RivalJudge } from '../rivals/rival-judge.ts';
import { HouseJudge } from './house-judge.ts';
import type { Judging } from './run-case.ts';

/** Our own judgement's name in tables. */
export const HOUSE = 'lineside';

export function houseJudging(): Judging {
  return { name: HOUSE, judge: (unit) => new HouseJudge(unit) };
}

export function rivalJudging(name: string, settings: RivalSettings): Judging {
  return { name, judge: (unit) => new RivalJudge(unit, settings) };
}
