import type { Unit } from '@lineside/fleet';
import { type JudgementState, newJudgementState, UnitJudge } from '@lineside/judging';
import type { ChannelValues } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { SitePower } from '../src/judging/site-power.ts';
import { UnitWatch } from '../src/judging/unit-watch.ts';
import { Watches } from '../src/judging/watches.ts';
import { INVENTED_FLEET } from './stand-ins/invented-fleet.ts';

const MINUTE_MS = 60_000;
const START_MS = Date.parse('2026-01-10T00:00:00Z');
const SITE = 'harbour-mall';

type Stretch = readonly [minutes: number, does: 'idle' | 'dead'];

const CHANNELS: Readonly<Record<Stretch[1], ChannelValues>> = {
  idle: { ia: 0.42, ib: 0.41, ic: 0.01 },
  dead: { ia: 0.004, ib: 0.002, ic: 0.003 },
};

function unitOf(id: string): Unit {
  const unit = INVENTED_FLEET.units.find((each) => each.site === SITE && each.id === id);
  if (unit === undefined) throw new Error(`no unit ${id}`);
  return unit;
}

/** Where judging stands after these minutes. */
function lived(unit: string, ...stretches: readonly Stretch[]): JudgementState {
  const judge = new UnitJudge({ site: SITE, unit }, newJudgementState(), {
    finished: () => {},
    episode: () => {},
  });
  let atMs = START_MS;
  for (const [minutes, does] of stretches) {
    for (let left = minutes; left > 0; left -= 1) {
      judge.reading(unitOf(unit), atMs, CHANNELS[does], null);
      atMs += MINUTE_MS;
    }
  }
  return judge.state();
}

/** Units that are marked, with the minute, when `unit` comes from `before` to `after`. */
function marksOf(
  others: Readonly<Record<string, JudgementState>>,
  unit: string,
  before: JudgementState,
  after: JudgementState,
): readonly string[] {
  const watches = new Watches();
  for (const [id, state] of Object.entries({ ...others, [unit]: before })) {
    watches.add(new UnitWatch({ site: SITE, unit: id }, state, new Set()));
  }
  const move = {
    ref: { site: SITE, unit },
    before: before.watch.power,
    after: after.watch.power,
  };
  return new SitePower(watches, [move])
    .disturbed()
    .map((mark) => `${mark.unit} from ${(mark.fromMs - START_MS) / MINUTE_MS}`);
}

describe('what neighbours say live', () => {
  const back = lived('rtu-02', [60, 'idle'], [60, 'dead'], [60, 'idle']);

  it('has a unit judged again once an outage left it behind for ten minutes', () => {
    const early = lived('rtu-01', [60, 'idle'], [70, 'dead']);
    const due = lived('rtu-01', [60, 'idle'], [71, 'dead']);
    const later = lived('rtu-01', [60, 'idle'], [72, 'dead']);
    expect(marksOf({ 'rtu-02': back }, 'rtu-01', early, due)).toEqual(['rtu-01 from 60']);
    expect(marksOf({ 'rtu-02': back }, 'rtu-01', due, later)).toEqual([]);
  });

  it('has it judged again when the neighbour tells of its return late', () => {
    const out = lived('rtu-02', [60, 'idle'], [60, 'dead']);
    const behind = lived('rtu-01', [60, 'idle'], [120, 'dead']);
    expect(marksOf({ 'rtu-01': behind }, 'rtu-02', out, back)).toEqual(['rtu-01 from 60']);
  });

  it('leaves a unit alone that came back with the others', () => {
    const out = lived('rtu-01', [60, 'idle'], [62, 'dead']);
    const returned = lived('rtu-01', [60, 'idle'], [62, 'dead'], [60, 'idle']);
    expect(marksOf({ 'rtu-02': back }, 'rtu-01', out, returned)).toEqual([]);
  });

  it('has a dead unit judged again when a neighbour turns out to have died with it', () => {
    const dead = lived('rtu-01', [60, 'idle'], [30, 'dead']);
    const unheard = lived('rtu-02', [58, 'idle']);
    const died = lived('rtu-02', [61, 'idle'], [20, 'dead']);
    expect(marksOf({ 'rtu-01': dead }, 'rtu-02', unheard, died)).toEqual(['rtu-01 from 60']);
  });
});
