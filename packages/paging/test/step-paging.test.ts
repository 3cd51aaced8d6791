import type { AlarmJournalEntry } from '@lineside/alarms';
import { describe, expect, it } from 'vitest';
import {
  asksOfOpenAlarms,
  emptyStepState,
  type PageToHandOver,
  type StepState,
  stepPaging,
} from '../src/index.ts';
import { AlarmLives, type Happening, PIER_ROTA } from './alarm-lives.ts';
import { HOUR_MS, idsOf, MINUTE_MS } from './sample-asks.ts';

/** Ana has the first call of the pier, Ben the second. */
const NOON = Date.UTC(2026, 0, 6, 12);
const NIGHT = Date.UTC(2026, 0, 6, 23);
const MORNING = Date.UTC(2026, 0, 7, 7, 30);

/** A world with one journal, stepped at will. */
class World {
  readonly lives = new AlarmLives();
  state: StepState = emptyStepState();
  canReach: (person: string | null) => boolean = () => true;
  /** How far all units are judged. */
  judgedThroughMs: number | null = null;

  entries(happened: readonly Partial<Happening>[], nowMs: number): AlarmJournalEntry[] {
    return happened.flatMap((one) =>
      this.lives.happen({ unit: 'p-02', what: 'raise', lateMs: 0, ...one }, nowMs),
    );
  }

  /** Steps at that time and whenever one is due until then; gives the pages as words. */
  at(nowMs: number, ...happened: readonly Partial<Happening>[]): readonly string[] {
    return this.step(this.entries(happened, nowMs), nowMs).map(wordsOf);
  }

  step(entries: readonly AlarmJournalEntry[], nowMs: number): readonly PageToHandOver[] {
    const stepped = stepPaging(this.state, {
      entries,
      nowMs,
      rota: PIER_ROTA,
      holds: [],
      canReach: this.canReach,
      judgedThroughMs: () => this.judgedThroughMs,
    });
    this.state = stepped.state;
    return stepped.pages;
  }
}

function wordsOf(page: PageToHandOver): string {
  return `${page.to.person ?? 'office'} ${page.kind}: ${idsOf(page).join(' ')}`;
}

describe('an alarm that is heard of late', () => {
  it('pages once while it still stands, when the unit has caught up, after a minute', () => {
    const world = new World();
    world.judgedThroughMs = NOON - MINUTE_MS;
    expect(world.at(NOON, { lateMs: 6 * HOUR_MS })).toEqual([]);
    expect(world.at(NOON + 59_000)).toEqual([]);
    expect(world.at(NOON + 60_000)).toEqual(['ana storm: a1']);
    expect(world.at(NOON + 2 * MINUTE_MS)).toEqual([]);
    expect(world.at(NOON + 16 * MINUTE_MS)).toEqual(['ben storm: a1']);
  });

  it('waits while its unit is judged only to an earlier time, and asks when it is not', () => {
    const world = new World();
    world.judgedThroughMs = NOON - HOUR_MS;
    world.at(NOON, { lateMs: 6 * HOUR_MS });
    expect(world.at(NOON + MINUTE_MS)).toEqual([]);
    world.judgedThroughMs = NOON - 12 * MINUTE_MS - 1;
    expect(world.at(NOON + 3 * MINUTE_MS)).toEqual([]);
    world.judgedThroughMs += 1;
    expect(world.at(NOON + 3 * MINUTE_MS)).toEqual(['ana storm: a1']);
    expect(world.at(NOON + 17 * MINUTE_MS)).toEqual([]);
    expect(world.at(NOON + 18 * MINUTE_MS)).toEqual(['ben storm: a1']);
  });

  it('waits ten minutes at most for a unit that does not catch up', () => {
    const world = new World();
    world.at(NOON, { lateMs: 6 * HOUR_MS });
    world.at(NOON + MINUTE_MS);
    expect(world.state.asks.get('a1')?.dueAtMs).toBe(NOON + 10 * MINUTE_MS);
    expect(world.at(NOON + 10 * MINUTE_MS - 1)).toEqual([]);
    expect(world.at(NOON + 10 * MINUTE_MS)).toEqual(['ana storm: a1']);
  });

  it('pages nobody when its end comes before its unit has caught up', () => {
    const world = new World();
    world.at(NOON, { lateMs: 24 * HOUR_MS });
    world.at(NOON + 5 * MINUTE_MS, { what: 'clear', lateMs: 3 * HOUR_MS });
    world.judgedThroughMs = NOON + 6 * MINUTE_MS;
    expect(world.at(NOON + 6 * MINUTE_MS)).toEqual([]);
    expect(world.at(NOON + 20 * MINUTE_MS)).toEqual([]);
  });

  it('waits one minute at most as an emergency, also when it has become one', () => {
    const world = new World();
    world.at(NOON, { what: 'rise', lateMs: 6 * HOUR_MS }, { unit: 'p-0', lateMs: 6 * HOUR_MS });
    expect(world.at(NOON + MINUTE_MS)).toEqual(['ana alone: a1']);
    world.at(NOON + 2 * MINUTE_MS, { unit: 'p-0', what: 'rise', lateMs: 5 * HOUR_MS });
    expect(world.at(NOON + 3 * MINUTE_MS)).toEqual(['ana alone: a2']);
  });

  it('waits one minute when it says that the unit is silent', () => {
    const world = new World();
    const [raised] = world.entries([{ lateMs: HOUR_MS }], NOON);
    if (raised === undefined) throw new Error('the alarm was raised');
    const silent = { ...raised, alarm: { ...raised.alarm, kind: 'silent' as const } };
    expect(world.step([silent], NOON)).toEqual([]);
    expect(world.at(NOON + MINUTE_MS)).toEqual(['ana others: a1']);
  });

  it('goes to the digest of the morning when it has ended, and to nobody at night', () => {
    const world = new World();
    const late = { lateMs: 6 * HOUR_MS };
    expect(world.at(NIGHT, late, { what: 'clear', lateMs: 3 * HOUR_MS })).toEqual([]);
    expect(world.state.asks.get('a1')?.dueAtMs).toBe(MORNING);
    expect(world.at(MORNING)).toEqual([]);
    expect(world.at(MORNING + MINUTE_MS)).toEqual(['ana digest: a1']);
    expect(world.state.asks.size).toBe(0);
    expect(world.state.paging.people.flatMap(({ pages }) => pages)).toEqual([]);
  });

  it('goes to the digest when its end comes in a later pack of the backlog', () => {
    const world = new World();
    world.at(NIGHT, { what: 'rise', lateMs: 6 * HOUR_MS });
    expect(world.at(NIGHT + 10_000, { what: 'clear', lateMs: 3 * HOUR_MS })).toEqual([]);
    expect(world.at(MORNING)).toEqual([]);
    expect(world.at(MORNING + MINUTE_MS)).toEqual(['ana digest: a1']);
  });

  it('is in no digest when it ended more than three days ago', () => {
    const world = new World();
    world.at(NIGHT, { lateMs: 90 * HOUR_MS }, { what: 'clear', lateMs: 80 * HOUR_MS });
    expect(world.state.asks.size).toBe(0);
  });

  it('leaves the digest when it reopens before, and asks at once', () => {
    const world = new World();
    world.at(NIGHT, { lateMs: 60 * MINUTE_MS }, { what: 'clear', lateMs: 30 * MINUTE_MS });
    expect(world.at(NIGHT + MINUTE_MS, {})).toEqual(['ana storm: a1']);
    expect(world.at(MORNING + MINUTE_MS).filter((page) => page.includes('digest'))).toEqual([]);
  });
});

describe('an alarm that changes', () => {
  it('asks again when it reopens after an acknowledgement', () => {
    const world = new World();
    expect(world.at(NOON, {})).toEqual(['ana storm: a1']);
    world.at(NOON + MINUTE_MS, { what: 'acknowledge' });
    expect(world.state.asks.size).toBe(0);
    world.at(NOON + 2 * MINUTE_MS, { what: 'clear' });
    expect(world.at(NOON + 30 * MINUTE_MS, {})).toEqual(['ana storm: a1']);
  });

  it('asks again when its priority rises, and not for a revision at the same one', () => {
    const world = new World();
    world.at(NOON, {});
    const [known] = world.lives.newest.values();
    if (known === undefined) throw new Error('the alarm was raised');
    const alarm = { ...known, headline: 'Leakage 14 mA', revision: 2 };
    const line = { atMs: NOON, event: 'revise', by: 'watch', note: null } as const;
    const revised = { ...line, from: known.state, to: known.state, alarm };
    expect(world.step([revised], NOON + MINUTE_MS)).toEqual([]);
    expect(world.state.asks.get('a1')?.headline).toBe('Leakage 14 mA');
    world.lives.newest.set(alarm.unit, alarm);
    expect(world.at(NOON + 2 * MINUTE_MS, { what: 'rise' })).toEqual(['ana alone: a1']);
  });

  it('leaves when later data take its cause away', () => {
    const world = new World();
    world.at(NOON, {});
    const [known] = world.lives.newest.values();
    if (known === undefined) throw new Error('the alarm was raised');
    const line = { atMs: NOON, event: 'withdraw', by: 'watch', note: null } as const;
    const alarm = { ...known, state: 'normal', standing: false, withdrawn: true } as const;
    world.step([{ ...line, from: known.state, to: 'normal', alarm }], NOON + MINUTE_MS);
    expect(world.state.asks.size).toBe(0);
    expect(world.at(NOON + HOUR_MS)).toEqual([]);
  });

  it('goes to the next in line at once when it is handed on', () => {
    const world = new World();
    world.at(NOON, {});
    expect(world.at(NOON + MINUTE_MS, { what: 'hand-on' })).toEqual(['ben storm: a1']);
  });
});

describe('somebody without a contact point', () => {
  it('counts as nobody to ask, so the next in line is asked at once', () => {
    const world = new World();
    world.canReach = (person) => person !== 'ana';
    expect(world.at(NOON, {})).toEqual(['ben storm: a1']);
  });

  it('has the alarm tried again, and said so, when nobody else is left', () => {
    const world = new World();
    world.canReach = () => false;
    const entries = world.entries([{}], NOON);
    const input = { entries, nowMs: NOON, rota: PIER_ROTA, holds: [] };
    const stepped = stepPaging(world.state, {
      ...input,
      canReach: () => false,
      judgedThroughMs: () => null,
    });
    expect(stepped.unreachable.map(({ alarmId }) => alarmId)).toEqual(['a1']);
    expect(stepped.unreachable[0]?.words).toMatch(/the office has no contact point/);
    expect(stepped.dueAtMs).toBe(NOON + 5 * MINUTE_MS);
    world.state = stepped.state;
    world.canReach = () => true;
    expect(world.at(NOON + 5 * MINUTE_MS)).toEqual(['ana storm: a1']);
  });
});

describe('a unit under maintenance', () => {
  it('asks nobody until its end, and then for what still stands', () => {
    const world = new World();
    const hold = { site: 'pier-nine', unit: 'p-02', fromMs: NOON - 1, untilMs: NOON + HOUR_MS };
    const rest = { rota: PIER_ROTA, canReach: () => true, judgedThroughMs: () => null };
    const entries = world.entries([{}, { unit: 'p-3' }], NOON);
    const stepped = stepPaging(world.state, { ...rest, entries, nowMs: NOON, holds: [hold] });
    expect(stepped.pages.map(wordsOf)).toEqual(['ana storm: a2']);
    world.state = stepped.state;
    expect(world.at(NOON + HOUR_MS).some((page) => page.includes('a1'))).toBe(true);
  });

  it('tells no digest of what began and ended in it', () => {
    const world = new World();
    const hold = { site: 'pier-nine', unit: 'p-02', fromMs: NOON, untilMs: NOON + HOUR_MS };
    const rest = { rota: PIER_ROTA, canReach: () => true, judgedThroughMs: () => null };
    const nowMs = NOON + MINUTE_MS;
    const entries = world.entries([{}, { what: 'clear' }], nowMs);
    const stepped = stepPaging(world.state, { ...rest, entries, nowMs, holds: [hold] });
    expect(stepped.state.asks.size).toBe(0);
  });
});

describe('the first start over an old journal', () => {
  it('asks for what stands unanswered, and for nothing that was answered or has ended', () => {
    const lives = new AlarmLives();
    const world = new World();
    const journal = [{ unit: 'p-0' }, { unit: 'p-1' }, { unit: 'p-3' }] as const;
    for (const one of journal) {
      lives.happen({ what: 'raise', lateMs: HOUR_MS, ...one }, NOON - HOUR_MS);
    }
    lives.happen({ unit: 'p-1', what: 'acknowledge', lateMs: 0 }, NOON);
    lives.happen({ unit: 'p-3', what: 'clear', lateMs: 0 }, NOON);
    world.state = asksOfOpenAlarms([...lives.newest.values()], NOON);
    expect(world.at(NOON)).toEqual(['ana storm: a1']);
  });
});

describe('an alarm that another one may explain', () => {
  it('waits half a second, in which the journal can say that it is suppressed', () => {
    const world = new World();
    expect(world.at(NOON, { unit: 'p-1' })).toEqual([]);
    expect(world.at(NOON + 500)).toEqual(['ana others: a1']);
    const [raised] = world.entries([{ unit: 'm-1' }], NOON + 1_000);
    if (raised === undefined) throw new Error('the alarm was raised');
    const alarm = { ...raised.alarm, state: 'suppressed', revision: 2 } as const;
    const line = { event: 'suppress', from: raised.to, to: 'suppressed', by: 'clock' } as const;
    const suppressed = { ...line, atMs: NOON + 1_000, note: 'while silent stands', alarm };
    expect(world.step([raised], NOON + 1_000)).toEqual([]);
    expect(world.step([suppressed], NOON + 1_100)).toEqual([]);
    expect(world.at(NOON + HOUR_MS).filter((page) => page.startsWith('office'))).toEqual([]);
  });
});

describe('a storm of 2,000 alarms', () => {
  it('has each step look only at what is new or due', () => {
    const world = new World();
    const storm = Array.from({ length: 2000 }, (_, index) => ({ unit: `p-${index}0` }));
    world.at(NOON, ...storm);
    let looks = 0;
    world.canReach = () => {
      looks += 1;
      return true;
    };
    world.at(NOON + MINUTE_MS, { unit: 'm-0' });
    expect(looks).toBeLessThanOrEqual(3);
    expect(world.state.asks.size).toBe(2001);
  });
});
