import {
  type ClockFaultEvent,
  type FindingChange,
  newClockFaultState,
  stepClockFaults,
} from '@lineside/anomaly';
import { describe, expect, it } from 'vitest';
import { MINUTE_MS, raised, START_MS } from './observed-unit.ts';

function run(events: readonly ClockFaultEvent[], standing = false): readonly FindingChange[] {
  let state = newClockFaultState(standing);
  const changes: FindingChange[] = [];
  for (const event of events) {
    const step = stepClockFaults(state, event);
    state = step.state;
    changes.push(...step.changes);
    expect(state.refusedAtMs.length).toBeLessThanOrEqual(20);
  }
  return changes;
}

function refused(minute: number, count = 1): ClockFaultEvent {
  return { type: 'refused', atMs: START_MS + minute * MINUTE_MS, count };
}
function tick(minute: number): ClockFaultEvent {
  return { type: 'tick', atMs: START_MS + minute * MINUTE_MS };
}
function every(minutes: number, count: number): ClockFaultEvent[] {
  return Array.from({ length: count }, (_, index) => refused(index * minutes));
}

describe('refused event times', () => {
  it('raise a sensor fault with the twentieth within an hour', () => {
    const changes = run(every(2, 25));
    expect(changes).toHaveLength(1);
    expect(raised(changes[0])).toMatchObject({
      kind: 'sensor',
      priority: 'routine',
      atMs: START_MS + 38 * MINUTE_MS,
    });
    expect(raised(changes[0]).causes[0]!.cause).toBe('sensor-fault');
  });

  it('raise nothing when they are fewer or spread wider', () => {
    expect(run(every(2, 19))).toEqual([]);
    expect(run(every(4, 200))).toEqual([]);
  });

  it('count by event time, not by message', () => {
    expect(run([refused(0, 19), refused(1, 1)])).toHaveLength(1);
    expect(run([refused(0, 10_000)])).toHaveLength(1);
  });

  it('are over an hour after the last one', () => {
    const changes = run([refused(0, 20), tick(30), refused(40), tick(99), tick(100), tick(101)]);
    expect(changes.map((each) => [each.change, (each.atMs - START_MS) / MINUTE_MS])).toEqual([
      ['opened', 0],
      ['closed', 100],
    ]);
  });

  it('close before they raise again when no tick told of the calm hour', () => {
    const changes = run([refused(0, 20), refused(200, 20)]);
    expect(changes.map((each) => each.change)).toEqual(['opened', 'closed', 'opened']);
  });

  it('that stood before a restart are over when none came since', () => {
    expect(run([tick(0)], true).map((each) => each.change)).toEqual(['closed']);
  });
});
