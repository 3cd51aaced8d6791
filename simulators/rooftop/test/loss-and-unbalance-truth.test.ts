import { describe, expect, it } from 'vitest';
import type { Fault, UnitRunTruth, UnitScript } from '../src/index.ts';
import { DAY_MS, HOUR_MS, minutesOf, START_MS, smallWorld } from './small-world.ts';

/** Played for so many days. */
function played(faults: readonly Fault[], script: Partial<UnitScript>, days = 4): UnitRunTruth {
  const world = smallWorld({ faults, script, days });
  for (const _minute of minutesOf(world, days)) void _minute;
  return world.unit('test-site', 'rtu-01').runTruth(START_MS + days * DAY_MS);
}

const LOST_AT_MS: number = START_MS + 2 * DAY_MS;
const GONE: Fault = { kind: 'fuses-gone', phases: ['a', 'b', 'c'], atMs: LOST_AT_MS };

describe('a supply that is lost', () => {
  it('can be told at once by voltages', () => {
    const { faults } = played([GONE], { node: { voltages: true } });
    expect(faults[0]?.tellableMs).toBeLessThanOrEqual(LOST_AT_MS + 120_000);
  });

  it('can be told by an idle current far above the floor', () => {
    const { faults } = played([GONE], { node: { voltages: false, voltagesToGround: false } });
    expect(faults[0]?.tellableMs).toBeLessThanOrEqual(LOST_AT_MS + 120_000);
  });

  it('cannot be told where the idle current hides below three floors', () => {
    const node = { voltages: false, voltagesToGround: false, currentFloorAmps: 2 };
    expect(played([GONE], { node }).faults[0]?.tellableMs).toBeNull();
  });

  it('cannot be told from a node that falls silent with it', () => {
    const silent: Fault[] = [GONE, { kind: 'node-dead', fromMs: LOST_AT_MS }];
    expect(played(silent, { node: { voltages: true } }).faults[0]?.tellableMs).toBeNull();
  });

  it('is no lost phase: that one can be told once a load runs', () => {
    const fault: Fault = { kind: 'open-fuse', phase: 'c', notBeforeMs: LOST_AT_MS };
    const [lost] = played([fault], { node: { voltages: true } }).faults;
    expect(lost?.failureMs).not.toBeNull();
    expect(lost?.tellableMs).toBeGreaterThanOrEqual(lost?.failureMs ?? Infinity);
  });
});

describe('an unbalance', () => {
  const worn = (finalPercent: number): Fault => ({
    kind: 'loose-terminal',
    contactor: 0,
    phase: 'b',
    fromMs: START_MS + 2 * DAY_MS,
    untilMs: START_MS + 2 * DAY_MS + HOUR_MS,
    finalPercent,
  });

  it('is told above its stage when it holds for a quarter of an hour of running', () => {
    const { unbalance } = played([worn(30)], {});
    expect(unbalance?.heldMostPercent).toBeGreaterThan(10);
    expect(unbalance?.urgentMs).toBeGreaterThanOrEqual(START_MS + 2 * DAY_MS + 15 * 60_000);
  });

  it('is small where a connection takes little', () => {
    const { unbalance } = played([worn(3)], {});
    expect(unbalance?.heldMostPercent).toBeGreaterThan(0.5);
    expect(unbalance?.heldMostPercent).toBeLessThan(4);
    expect(unbalance?.urgentMs).toBeNull();
  });

  it('is not what a service outlet does', () => {
    const span = { fromMs: START_MS, toMs: START_MS + 9 * DAY_MS };
    const outlet = { kind: 'service-outlet', phases: ['a'], amps: 12, ...span } as const;
    expect(played([], { lookAlikes: [outlet] }).unbalance?.heldMostPercent).toBe(0);
  });
});
