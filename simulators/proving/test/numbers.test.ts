import { describe, expect, it } from 'vitest';
import { scoreUnits } from '../src/index.ts';
import { poissonRate } from '../src/scoring/poisson.ts';
import { numberRows } from '../src/table/numbers.ts';
import { alarm, day, FAILING_TRACK, fault, observed } from './hand-made.ts';

const MINUTE = 1 / 1440;

describe('a rate of rare events', () => {
  it('has the exact limits that tables of the Poisson distribution give', () => {
    // Garwood's limits for counts 0, 1 and 10, as printed in common tables; from memory.
    expect(poissonRate(0, 1).high).toBeCloseTo(3.689, 3);
    expect(poissonRate(1, 1).low).toBeCloseTo(0.0253, 4);
    expect(poissonRate(1, 1).high).toBeCloseTo(5.572, 3);
    expect(poissonRate(10, 1).low).toBeCloseTo(4.795, 3);
    expect(poissonRate(10, 1).high).toBeCloseTo(18.39, 2);
  });

  it('is none without any time, and no negative count', () => {
    expect(poissonRate(0, 0).perUnitYear).toBeNull();
    expect(() => poissonRate(-1, 1)).toThrow(/no rate/);
  });
});

describe('the warning of a track', () => {
  const told = (from: number) => alarm('leakage', [{ priority: 'urgent', day: from }]);

  it('is measured in days and against the time since evidence, day 20 to 70', () => {
    const { tracks } = scoreUnits([observed({ faults: [FAILING_TRACK] }, [told(62)])]);
    expect(tracks.warningDays?.median).toBe(8);
    expect(tracks.warningShare?.median).toBe(0.16);
    expect(tracks.longEnough.hits).toBe(0);
  });

  it('is nothing for a track that nobody warned of, which stays in the median', () => {
    const units = [[told(30)], []].map((alarms) => observed({ faults: [FAILING_TRACK] }, alarms));
    expect(scoreUnits(units).tracks.warningDays?.median).toBe(20);
  });

  it('is long enough by either reading of the goal', () => {
    const late = { ...FAILING_TRACK, observableMs: day(64), observableWettingsMs: [day(64)] };
    const units = [observed({ faults: [late] }, [told(65)])];
    expect(scoreUnits(units).tracks.longEnough.hits).toBe(1);
  });

  it('is not asked of a track that opened no fuse', () => {
    const mild = { ...FAILING_TRACK, fusesOpened: [] };
    expect(scoreUnits([observed({ faults: [mild] })]).tracks.urgentInTime.of).toBe(0);
  });
});

describe('the side', () => {
  const line = alarm('leakage', [
    { priority: 'urgent', day: 30, cause: 'line-side-track-to-ground' },
  ]);
  const load = alarm('leakage', [{ priority: 'urgent', day: 30, cause: 'load-insulation' }]);
  const open = alarm('leakage', [{ priority: 'urgent', day: 30, cause: 'unknown' }]);

  it('is counted over tracks and loads, right among what was said', () => {
    const units = [line, load, open].map((one) => observed({ faults: [FAILING_TRACK] }, [one]));
    const { sides } = scoreUnits([...units, observed({ faults: [fault({})] }, [load])]);
    expect([sides.right.hits, sides.right.of]).toEqual([2, 3]);
    expect([sides.committed.hits, sides.committed.of]).toEqual([3, 4]);
  });

  it('is not asked of a track between poles', () => {
    const poles = fault({ fault: 'track-between-poles', side: 'line' });
    const told = alarm('phase-track', [{ priority: 'routine', day: 30 }]);
    expect(scoreUnits([observed({ faults: [poles] }, [told])]).sides.committed.of).toBe(0);
  });
});

describe('a loss that can be told', () => {
  const opened = { fusesOpened: ['a', 'b', 'c'], failureMs: day(40) } as const;
  const gone = fault({ fault: 'fuses-gone', ...opened, tellableMs: day(40) });
  const told = (minutes: number) =>
    alarm('supply-loss', [{ priority: 'urgent', day: 40 + minutes * MINUTE }]);

  it('is in time within ten minutes for fuses', () => {
    const units = [told(9), told(12)].map((one) => observed({ faults: [gone] }, [one]));
    const { tellableFuses } = scoreUnits(units);
    expect([tellableFuses.found.hits, tellableFuses.inTime.hits]).toEqual([2, 1]);
  });

  it('is in time within two readings for a phase, however far apart they are', () => {
    const lost = fault({ fault: 'open-fuse', failureMs: day(40), tellableMs: day(40) });
    const late = alarm('phase-loss', [{ priority: 'emergency', day: 40 + 4 * MINUTE }]);
    const slow = { ...observed({ faults: [lost] }, [late]), everyMs: 120_000 };
    const units = [observed({ faults: [lost] }, [late]), slow];
    expect(scoreUnits(units).tellablePhaseLoss.inTime).toMatchObject({ hits: 1, of: 2 });
  });

  it('is not judged where nothing could tell', () => {
    const { tellableFuses } = scoreUnits([observed({ faults: [{ ...gone, tellableMs: null }] })]);
    expect([tellableFuses.found.of, tellableFuses.untellable]).toEqual([0, 1]);
  });

  it('counts from the moment it could be told, not from the loss', () => {
    const later = { ...gone, tellableMs: day(41) };
    const { tellableFuses } = scoreUnits([observed({ faults: [later] }, [told(1445)])]);
    expect(tellableFuses.delayMinutes?.median).toBeCloseTo(5, 6);
  });
});

describe('an unbalance', () => {
  const loose = fault({ fault: 'loose-terminal' });
  const uneven = { faults: [loose], unbalance: { heldMostPercent: 14, urgentMs: day(30) } };
  const told = (priority: 'routine' | 'urgent', at: number) =>
    alarm('unbalance', [{ priority, day: at }]);

  it('is found as urgent only by an urgent step', () => {
    const units = [told('urgent', 30), told('routine', 25)].map((one) => observed(uneven, [one]));
    const { unbalance } = scoreUnits(units);
    expect([unbalance.found.hits, unbalance.foundUrgent.hits]).toEqual([2, 1]);
  });

  it('is found too late after a day', () => {
    expect(scoreUnits([observed(uneven, [told('urgent', 32)])]).unbalance.found.hits).toBe(0);
  });

  it('below 4 % may raise nothing', () => {
    const even = { unbalance: { heldMostPercent: 3, urgentMs: null } };
    const units = [observed(even, [told('routine', 30)]), observed(even)];
    expect(scoreUnits(units).unbalance.raisedBelow).toMatchObject({ hits: 1, of: 2 });
  });

  it('of a unit with an open fuse is no false one', () => {
    const lost = fault({ fault: 'open-fuse', fusesOpened: ['a'], failureMs: day(20) });
    const truth = { faults: [lost], unbalance: { heldMostPercent: 0, urgentMs: null } };
    expect(scoreUnits([observed(truth, [told('urgent', 30)])]).unbalance.raisedBelow.of).toBe(0);
  });
});

describe('the table of goals', () => {
  const rows = (alarms: Parameters<typeof observed>[1]) => {
    const all = scoreUnits([observed({ faults: [FAILING_TRACK] }, alarms)]);
    const healthy = scoreUnits([
      observed({}, [alarm('leakage', [{ priority: 'urgent', day: 3 }])]),
    ]);
    return numberRows({ all, healthy, plain: healthy, lookAlikes: scoreUnits([]) });
  };
  const verdict = (of: ReturnType<typeof rows>, title: string) =>
    of.find((row) => row.title.startsWith(title))?.verdict;

  it('says met where the estimate meets the goal, and not met where it does not', () => {
    const warned = rows([alarm('leakage', [{ priority: 'urgent', day: 30 }])]);
    expect(verdict(warned, 'tracks to ground: urgent')).toBe('met');
    expect(verdict(rows([]), 'tracks to ground: urgent')).toBe('not met');
    expect(verdict(warned, 'healthy units: urgent')).toBe('not met');
    expect(verdict(warned, 'healthy units: routine')).toBe('met');
  });

  it('says neither without a case', () => {
    expect(verdict(rows([]), 'phase loss while running: told')).toBe('-');
    expect(verdict(rows([]), 'of these, look-alikes')).toBe('-');
  });
});
