import { describe, expect, it } from 'vitest';
import { scoreUnits } from '../src/index.ts';
import { alarm, day, FAILING_TRACK, fault, observed } from './hand-made.ts';

type Truth = Parameters<typeof observed>[0];
type Alarms = Parameters<typeof observed>[1];

function track(alarms: Alarms, truth: Truth = { faults: [FAILING_TRACK] }) {
  return scoreUnits([observed(truth, alarms)]).classes['track-to-ground'];
}

describe('which cases are judged', () => {
  it('judges a failing track that a wetting showed a day before', () => {
    expect(track([])).toMatchObject({ cases: 1, judged: 1, withoutWettingInTime: 0 });
  });

  it('counts a failing track apart when its only wetting came less than a day before', () => {
    const late = { ...FAILING_TRACK, observableWettingsMs: [day(69.1)] };
    expect(track([], { faults: [late] })).toMatchObject({
      cases: 1,
      judged: 0,
      withoutWettingInTime: 1,
    });
  });

  it('judges one whose wetting came exactly a day before', () => {
    const exact = { ...FAILING_TRACK, observableWettingsMs: [day(69)] };
    expect(track([], { faults: [exact] }).judged).toBe(1);
  });

  it('counts a track that never left the noise apart', () => {
    const hidden = { ...FAILING_TRACK, observableMs: null, observableWettingsMs: [] };
    expect(track([], { faults: [hidden] })).toMatchObject({ neverObservable: 1, judged: 0 });
  });

  it('does not know a fault that would begin after the run', () => {
    const later = fault({ fault: 'track-to-ground', onsetMs: day(101) });
    expect(track([], { faults: [later] }).cases).toBe(0);
  });

  it('refuses a fault that has no class', () => {
    expect(() => track([], { faults: [fault({ fault: 'gremlins' })] })).toThrow(
      /no class is known for the fault 'gremlins'/,
    );
  });
});

describe('recall', () => {
  it('counts a warning a day before the failure, and not one minute later', () => {
    const inTime = track([alarm('leakage', [{ priority: 'urgent', day: 69 }])]);
    const late = track([alarm('leakage', [{ priority: 'urgent', day: 69 + 1 / 1440 }])]);
    expect(inTime.recallBeforeFailure.urgent.hits).toBe(1);
    expect(late.recallBeforeFailure.urgent.hits).toBe(0);
  });

  it('asks for no lead of an emergency, but that it comes before the failure', () => {
    const before = track([alarm('leakage', [{ priority: 'emergency', day: 69.99 }])]);
    const after = track([alarm('leakage', [{ priority: 'emergency', day: 70.01 }])]);
    expect(before.recallBeforeFailure.emergency.hits).toBe(1);
    expect(after.recallBeforeFailure.emergency.hits).toBe(0);
  });

  it('takes a higher priority for a lower one, and not the other way round', () => {
    const { recallBeforeFailure } = track([alarm('leakage', [{ priority: 'urgent', day: 40 }])]);
    expect(recallBeforeFailure.routine.hits).toBe(1);
    expect(recallBeforeFailure.urgent.hits).toBe(1);
    expect(recallBeforeFailure.emergency.hits).toBe(0);
  });

  it('does not count what was said before the fault began', () => {
    const early = alarm('leakage', [{ priority: 'urgent', day: 9 }], { clearedAtMs: null });
    expect(track([early]).recallBeforeFailure.routine.hits).toBe(0);
  });

  it('counts a later step of an alarm that stood before the fault began', () => {
    const risen = alarm('leakage', [
      { priority: 'routine', day: 9 },
      { priority: 'urgent', day: 41 },
    ]);
    expect(track([risen]).recallBeforeFailure.urgent.hits).toBe(1);
  });

  it('takes moisture for a warning of a track from urgent on only', () => {
    const urgent = track([alarm('moisture', [{ priority: 'urgent', day: 40 }])]);
    const routine = track([alarm('moisture', [{ priority: 'routine', day: 40 }])]);
    expect(urgent.recallBeforeFailure.routine.hits).toBe(1);
    expect(routine.recallBeforeFailure.routine.hits).toBe(0);
  });

  it('does not take an unbalance for a warning of a track', () => {
    const wrong = track([alarm('unbalance', [{ priority: 'urgent', day: 40 }])]);
    expect(wrong.recallBeforeFailure.routine.hits).toBe(0);
  });

  it('keeps tracks without a failure in the run apart', () => {
    const slow = { ...FAILING_TRACK, failureMs: null, fusesOpened: [] };
    const said = track([alarm('leakage', [{ priority: 'routine', day: 99 }])], { faults: [slow] });
    expect(said.recallBeforeFailure.routine.of).toBe(0);
    expect(said.recallWhileThere.routine).toMatchObject({ hits: 1, of: 1 });
  });

  it('counts nothing that is said after a repair', () => {
    const repaired = fault({ endedMs: day(50) });
    const said = [alarm('leakage', [{ priority: 'routine', day: 50.1 }])];
    const { classes } = scoreUnits([observed({ faults: [repaired] }, said)]);
    expect(classes['load-insulation'].recallWhileThere.routine.hits).toBe(0);
  });

  it('takes any alarm that names a sensor for a warning of a sensor fault', () => {
    const dead = fault({ fault: 'current-sensor-dead' });
    const named = alarm('phase-loss', [{ priority: 'urgent', day: 12, cause: 'sensor-fault' }]);
    const blind = alarm('phase-loss', [{ priority: 'urgent', day: 12, cause: 'open-fuse' }]);
    const hits = [named, blind].map(
      (one) =>
        scoreUnits([observed({ faults: [dead] }, [one])]).classes['sensor-fault'].recallWhileThere
          .routine.hits,
    );
    expect(hits).toEqual([1, 0]);
  });
});

describe('times', () => {
  const said = track([
    alarm('leakage', [
      { priority: 'routine', day: 22 },
      { priority: 'urgent', day: 60 },
    ]),
  ]);

  it('measure the warning from the first step of any priority to the failure', () => {
    expect(said.warningHours?.median).toBe(48 * 24);
  });

  it('measure the delay from the first observable evidence', () => {
    expect(said.delayHours?.median).toBe(2 * 24);
  });

  it('have a warning that came too late in them', () => {
    const late = track([alarm('leakage', [{ priority: 'routine', day: 69.5 }])]);
    expect(late.warningHours?.median).toBeCloseTo(12);
  });
});

describe('cause', () => {
  const said = track([
    alarm('leakage', [
      { priority: 'routine', day: 22, cause: 'unknown' },
      { priority: 'urgent', day: 40, cause: 'line-side-track-to-ground' },
    ]),
  ]);

  it('is judged as it was ranked first at each priority step', () => {
    expect(said.causeRight.routine).toMatchObject({ hits: 0, of: 1 });
    expect(said.causeRight.urgent).toMatchObject({ hits: 1, of: 1 });
  });

  it('may name another fault that is there and that the alarm tells of', () => {
    const both = { faults: [FAILING_TRACK, fault({})] };
    const later = { faults: [FAILING_TRACK, fault({ onsetMs: day(41) })] };
    const named = [alarm('leakage', [{ priority: 'urgent', day: 40, cause: 'load-insulation' }])];
    expect(track(named, both).causeRight.urgent.hits).toBe(1);
    expect(track(named, later).causeRight.urgent.hits).toBe(0);
  });

  it('is not asked for where no warning came', () => {
    expect(said.causeRight.emergency.of).toBe(0);
  });
});

describe('place', () => {
  const steps = [{ priority: 'urgent', day: 40, cause: 'line-side-track-to-ground' }] as const;

  it('is what the evidence of the newest step says', () => {
    const wrong = track([alarm('leakage', steps, { evidence: { side: 'load' } })]).place;
    const open = track([alarm('leakage', steps, { evidence: { side: 'undetermined' } })]).place;
    expect([wrong.right.hits, wrong.wrong.hits, wrong.uncommitted.hits]).toEqual([0, 1, 0]);
    expect([open.right.hits, open.wrong.hits, open.uncommitted.hits]).toEqual([0, 0, 1]);
  });

  it('is the side of the first cause where the evidence has moved on', () => {
    const later = { priority: 'emergency', day: 71, cause: 'unknown' } as const;
    const said = track([alarm('leakage', [...steps, later], { evidence: { side: 'load' } })]);
    expect(said.place.right.hits).toBe(1);
  });

  it('is not asked of a class that has none', () => {
    const unbalance = fault({ fault: 'loose-terminal' });
    const told = [alarm('unbalance', [{ priority: 'routine', day: 20 }])];
    const { classes } = scoreUnits([observed({ faults: [unbalance] }, told)]);
    expect(classes['unbalance-in-unit'].place.right.of).toBe(0);
  });
});

describe('losses', () => {
  it('measure fuses that opened from their failure on, within a day', () => {
    const told = alarm('supply-loss', [{ priority: 'urgent', day: 70 + 10 / 1440 }]);
    const tooLate = alarm('supply-loss', [{ priority: 'urgent', day: 71.1 }]);
    const truth = { faults: [FAILING_TRACK] };
    const found = scoreUnits([observed(truth, [told])]).fusesGone;
    expect(found.found).toMatchObject({ hits: 1, of: 1 });
    expect(found.delayMinutes?.median).toBeCloseTo(10);
    expect(scoreUnits([observed(truth, [tooLate])]).fusesGone.found.hits).toBe(0);
  });

  it('do not take what came before the failure for news of it', () => {
    const before = alarm('supply-loss', [{ priority: 'urgent', day: 69 }]);
    const score = scoreUnits([observed({ faults: [FAILING_TRACK] }, [before])]);
    expect(score.fusesGone.found.hits).toBe(0);
  });

  it('measure a lost phase as its own', () => {
    const lost = fault({ fault: 'open-fuse', failureMs: day(30), fusesOpened: ['b'] });
    const told = alarm('phase-loss', [{ priority: 'emergency', day: 30 + 2 / 1440 }]);
    const score = scoreUnits([observed({ faults: [lost] }, [told])]);
    expect(score.phaseLoss.delayMinutes?.median).toBeCloseTo(2);
    expect(score.fusesGone.found.of).toBe(0);
  });

  it('take a node that fell silent for news of a loss, and no unbalance', () => {
    const lost = fault({ fault: 'open-fuse', failureMs: day(30), fusesOpened: ['b'] });
    const hits = (['silent', 'unbalance'] as const).map((kind) => {
      const told = alarm(kind, [{ priority: 'urgent', day: 30.04 }]);
      return scoreUnits([observed({ faults: [lost] }, [told])]).phaseLoss.found.hits;
    });
    expect(hits).toEqual([1, 0]);
  });
});
