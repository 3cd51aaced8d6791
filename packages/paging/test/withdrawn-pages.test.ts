import { describe, expect, it } from 'vitest';
import {
  emptyStepState,
  type PageToHandOver,
  type StepState,
  stepPaging,
  stepStateOf,
  storedStep,
  withdrawnPages,
} from '../src/index.ts';
import { AlarmLives, type Happening, PIER_ROTA } from './alarm-lives.ts';
import { HOUR_MS, MINUTE_MS } from './sample-asks.ts';

const NOON = Date.UTC(2026, 0, 6, 12);
const NIGHT = Date.UTC(2026, 0, 6, 23);
const MORNING = Date.UTC(2026, 0, 7, 7, 30);
const ANSWERED = 'answered before it could be handed over';

/** One journal, stepped at will, over a store that forgets nothing. */
class World {
  readonly lives = new AlarmLives();
  state: StepState = emptyStepState();
  pages: PageToHandOver[] = [];

  /** Steps at that time; gives why pages are withdrawn, by kind and person. */
  at(nowMs: number, ...happened: readonly Partial<Happening>[]): readonly string[] {
    const entries = happened.flatMap((one) =>
      this.lives.happen({ unit: 'p-02', what: 'raise', lateMs: 0, ...one }, nowMs),
    );
    const everybody = { canReach: () => true, judgedThroughMs: () => nowMs };
    const input = { entries, nowMs, rota: PIER_ROTA, holds: [], ...everybody };
    const { state, pages } = stepPaging(this.state, input);
    const withdrawn = withdrawnPages(this.state, state, pages);
    this.pages.push(...pages);
    this.state = stepStateOf(JSON.parse(JSON.stringify(storedStep(state))), state.asks);
    return withdrawn.map(({ pageKey, why }) => `${this.#nameOf(pageKey)}: ${why}`);
  }

  #nameOf(key: string): string {
    const page = this.pages.find((one) => one.key === key);
    return page === undefined ? 'a page never handed over' : `${page.to.person} ${page.kind}`;
  }
}

describe('a page that is withdrawn', () => {
  it.each(['acknowledge', 'clear', 'shelve'] as const)('is one whose alarm got a %s', (what) => {
    const world = new World();
    expect(world.at(NOON, {})).toEqual([]);
    expect(world.at(NOON + MINUTE_MS, { what })).toEqual([`ana storm: ${ANSWERED}`]);
    expect(world.at(NOON + 2 * MINUTE_MS)).toEqual([]);
  });

  it('is withdrawn from each of those who were asked', () => {
    const world = new World();
    world.at(NOON, {});
    expect(world.at(NOON + 15 * MINUTE_MS)).toEqual([]);
    const both = [`ana storm: ${ANSWERED}`, `ben storm: ${ANSWERED}`];
    expect(world.at(NOON + 16 * MINUTE_MS, { what: 'acknowledge' })).toEqual(both);
  });

  it('keeps waiting while one of its alarms is open', () => {
    const world = new World();
    world.at(NOON, {}, { unit: 'p-0' });
    expect(world.at(NOON + MINUTE_MS, { what: 'acknowledge' })).toEqual([]);
    const answered = [`ana storm: ${ANSWERED}`];
    expect(world.at(NOON + 2 * MINUTE_MS, { unit: 'p-0', what: 'clear' })).toEqual(answered);
  });

  it('gives way to the page of the emergency that its alarm has become', () => {
    const world = new World();
    world.at(NOON, {});
    const overtaken = ['ana storm: told by a newer page before it could be handed over'];
    expect(world.at(NOON + MINUTE_MS, { what: 'rise' })).toEqual(overtaken);
    const answered = [`ana alone: ${ANSWERED}`];
    expect(world.at(NOON + 2 * MINUTE_MS, { what: 'acknowledge' })).toEqual(answered);
  });

  it('stays when its alarm moved to a page that the ceiling holds back', () => {
    const world = new World();
    for (let page = 0; page < 6; page += 1) {
      const atMs = NOON + page * MINUTE_MS;
      world.at(atMs, { unit: `p-${'0'.repeat(page + 2)}`, what: page < 2 ? 'raise' : 'rise' });
    }
    world.at(NOON + 6 * MINUTE_MS);
    const toldToAna = () => world.pages.filter(({ to }) => to.person === 'ana').length;
    const told = toldToAna();
    const moved = world.at(NOON + 7 * MINUTE_MS, { unit: 'p-00', what: 'rise' });
    expect(toldToAna()).toBe(told);
    expect(moved).toEqual([]);
  });

  it('is no digest that told of what was over, answered or not', () => {
    const world = new World();
    world.at(NIGHT, { lateMs: HOUR_MS }, { what: 'clear', lateMs: 30 * MINUTE_MS });
    world.at(NIGHT, { unit: 'p-3' }, { unit: 'p-0', what: 'raise' });
    world.at(MORNING);
    expect(world.at(MORNING + MINUTE_MS)).toEqual([]);
    expect(world.pages.map(({ kind }) => kind)).toContain('digest');
    const keys = world.state.paging.people.flatMap(({ pages }) => pages);
    expect(keys.some(({ hasToldOver }) => hasToldOver === true)).toBe(true);
    const answers = ['p-3', 'p-0'].map((unit) => ({ unit, what: 'acknowledge' as const }));
    const withdrawn = world.at(MORNING + 2 * MINUTE_MS, ...answers);
    expect(withdrawn.filter((one) => one.includes('digest'))).toEqual([]);
  });
});
