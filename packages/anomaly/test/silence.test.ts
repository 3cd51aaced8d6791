import {
  type FindingChange,
  newSilenceState,
  type SilenceEvent,
  stepSilence,
} from '@lineside/anomaly';
import { describe, expect, it } from 'vitest';
import { HOUR_MS, MINUTE_MS, raised, START_MS, unitLike } from './observed-unit.ts';

const { limits } = unitLike();

function run(
  events: readonly (readonly [SilenceEvent['type'], number])[],
  from = newSilenceState(),
) {
  let state = from;
  const changes: FindingChange[] = [];
  for (const [type, minute] of events) {
    const step = stepSilence(state, { type, atMs: START_MS + minute * MINUTE_MS }, limits);
    state = step.state;
    changes.push(...step.changes);
  }
  return changes;
}

function told(changes: readonly FindingChange[]) {
  return changes.map((each) => [
    'priority' in each ? each.priority : each.change,
    (each.atMs - START_MS) / MINUTE_MS,
  ]);
}

function ticks(from: number, to: number): (readonly ['tick', number])[] {
  return Array.from({ length: to - from }, (_, index) => ['tick', from + index] as const);
}

describe('a silent unit', () => {
  it('is routine after an hour, urgent after four, and over with the next message', () => {
    const changes = run([['receipt', 0], ...ticks(1, 300), ['receipt', 300], ...ticks(301, 350)]);
    expect(told(changes)).toEqual([
      ['routine', 60],
      ['urgent', 240],
      ['closed', 300],
    ]);
    expect(raised(changes[0]).headline).toBe('Nothing heard from the node for 60 min');
    expect(raised(changes[1]).headline).toBe('Nothing heard from the node for 4 h');
  });

  it('is told of by the message that ends a gap when there were no ticks', () => {
    expect(
      told(
        run([
          ['receipt', 0],
          ['receipt', 90],
        ]),
      ),
    ).toEqual([
      ['routine', 60],
      ['closed', 90],
    ]);
    expect(
      told(
        run([
          ['receipt', 0],
          ['tick', 6000],
        ]),
      ),
    ).toEqual([
      ['routine', 60],
      ['urgent', 240],
    ]);
  });

  it('is never one that was not heard since the start', () => {
    expect(run(ticks(0, 600))).toEqual([]);
  });

  it('is not one that is heard every 59 minutes', () => {
    expect(run([['receipt', 0], ...ticks(1, 59), ['receipt', 59], ...ticks(60, 118)])).toEqual([]);
  });

  it('that stood before a restart ends with the first message after it', () => {
    const changes = run(
      [
        ['tick', 0],
        ['receipt', 5],
      ],
      newSilenceState('urgent'),
    );
    expect(told(changes)).toEqual([['closed', 5]]);
  });

  it('whose node hangs on the 24 V of the unit may have lost its fuses', () => {
    const heard = stepSilence(newSilenceState(), { type: 'receipt', atMs: START_MS }, limits).state;
    const tick = { type: 'tick', atMs: START_MS + 2 * HOUR_MS } as const;
    const step = stepSilence(heard, tick, limits, 'unit-24v');
    expect(raised(step.changes[0]).causes[0]!.cause).toBe('disconnect-open-or-fuses-open');
    const battery = stepSilence(heard, tick, limits, 'battery');
    expect(raised(battery.changes[0]).causes[0]!.cause).toBe('node-offline');
  });
});
