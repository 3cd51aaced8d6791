import type { ChannelValues } from '@lineside/readings';
import { type NodeFit, randomStream } from '@lineside/rooftop';
import { describe, expect, it } from 'vitest';
import { PresenceTest, SideTest, UnbalanceTest } from '../src/ideal/fault-test.ts';
import { alarmBound, waldBounds } from '../src/ideal/likelihood-ratio.ts';
import { SignalPower } from '../src/ideal/signal-power.ts';

const FIT: NodeFit = {
  plateSensor: true,
  voltages: false,
  voltagesToGround: false,
  resistiveLeakage: false,
  bursts: false,
  doorSwitch: false,
  encoding: 'cbor',
  loadErrorPercent: 0,
  leakFloorMilliamps: 0.1,
  leakNoiseMilliamps: 0.04,
  currentFloorAmps: 0.02,
};
/** Noise and the resolution of 0.01 mA together. */
const DEVIATION = Math.sqrt(0.04 ** 2 + 0.01 ** 2 / 12);
const MINUTE = 60_000;

/** 2 mA of healthy leakage and so much more, as a node sends both with the same noise. */
function pair(random: ReturnType<typeof randomStream>, moreMilliamps: number) {
  const noise = 0.04 * random.gauss();
  const sent = (milliamps: number): ChannelValues => {
    return { leak: Math.round((milliamps + noise) * 100) / 100_000 };
  };
  return { sent: sent(2 + moreMilliamps), without: sent(2), deviate: random.gauss() };
}

function minutesUntilFound(moreMilliamps: number, key: string): number | null {
  const random = randomStream(2, key);
  const test = new PresenceTest(FIT, alarmBound(0.1, 0.2), true);
  for (let minute = 0; minute < 5000; minute += 1) {
    test.step({ atMs: minute * MINUTE, loadsRunning: 0, ...pair(random, moreMilliamps) });
    if (test.foundMs !== null) return minute;
  }
  return null;
}

describe('the power of a signal', () => {
  it.each([0.002, 0.01, 0.034])('of %f mA is right on average, whatever the rounding', (more) => {
    const random = randomStream(3, `power ${more}`);
    const power = new SignalPower(FIT, true);
    const count = 200_000;
    let sum = 0;
    for (let index = 0; index < count; index += 1) {
      const { sent, without } = pair(random, more);
      sum += power.of(sent, without, 0);
    }
    const expected = (more / DEVIATION) ** 2;
    expect(Math.abs(sum / count - expected)).toBeLessThan(0.1 * expected);
  });

  it('is not made of two different running stages', () => {
    const power = new SignalPower(FIT, true);
    const without = { leak: 0.002 };
    power.of({ leak: 0.0021 }, without, 0);
    expect(power.of({ leak: 0.0021 }, without, 1)).toBe(0);
    expect(power.of({ leak: 0.0021 }, without, 0)).toBeGreaterThan(0);
  });
});

describe('the test whether a fault is there', () => {
  it('finds a signal of a quarter of the noise after the hours that theory gives', () => {
    const found = Array.from({ length: 100 }, (_, index) => minutesUntilFound(0.01, `q${index}`));
    const mean = found.reduce((sum: number, one) => sum + (one ?? Number.NaN), 0) / found.length;
    const d = 0.01 / DEVIATION;
    const expected = (alarmBound(0.1, 0.2) + 0.583 * d) / ((d * d) / 2);
    expect(Math.abs(mean - expected)).toBeLessThan(0.2 * expected);
  });

  it('does not find one of a two-hundredth of the noise within days', () => {
    const found = Array.from({ length: 20 }, (_, index) => minutesUntilFound(0.0002, `n${index}`));
    expect(found.filter((one) => one !== null)).toEqual([]);
  });

  it('never finds what is not there, and takes one spark as proof', () => {
    expect(minutesUntilFound(0, 'none')).toBeNull();
    const test = new PresenceTest(FIT, 5, true);
    const quiet = { loadsRunning: 0, deviate: 0, without: { leak: 0.002, bursts: 0 } };
    test.step({ atMs: 1, sent: { leak: 0.002, bursts: 0 }, ...quiet });
    expect(test.foundMs).toBeNull();
    test.step({ atMs: 2, sent: { leak: 0.002, bursts: 1 }, ...quiet });
    expect(test.foundMs).toBe(2);
  });
});

describe('the test of the side', () => {
  const without = { leak: 0.002 };
  const more = { leak: 0.005 };
  const said = (truly: 'line' | 'load', rest: ChannelValues, rests: boolean) => {
    const test = new SideTest(FIT, truly, waldBounds(0.03, 0.03));
    for (let minute = 0; minute < 30; minute += 1) {
      const running = !rests || minute < 15;
      test.step({
        atMs: minute * MINUTE,
        sent: running ? more : rest,
        without,
        loadsRunning: running ? 1 : 0,
        deviate: 0,
      });
    }
    return test.said;
  };

  it('says line for what is there at rest, and load for what goes with the load', () => {
    expect(said('line', more, true)).toBe('line');
    expect(said('load', without, true)).toBe('load');
  });

  it('says nothing while the loads never rest', () => {
    expect(said('line', more, false)).toBeNull();
    expect(said('load', without, false)).toBeNull();
  });
});

describe('the test of unbalance', () => {
  const even = { ia: 10, ib: 10, ic: 10 };
  const foundAfter = (ia: number, runs: (minute: number) => boolean): number | null => {
    const test = new UnbalanceTest();
    for (let minute = 0; minute < 60; minute += 1) {
      const loadsRunning = runs(minute) ? 1 : 0;
      const sent = { ...even, ia };
      test.step({ atMs: minute * MINUTE, sent, without: even, loadsRunning, deviate: 0 });
    }
    return test.foundMs === null ? null : test.foundMs / MINUTE;
  };

  it('tells of 10 % once it held for 15 minutes of running, and never of 4 %', () => {
    // NEMA MG 1: 11.5, 10 and 10 A deviate by 9.5 % of their mean; 10.6 by 3.9 %.
    expect(foundAfter(11.5, () => true)).toBe(15);
    expect(foundAfter(10.6, () => true)).toBeNull();
  });

  it('counts the minutes of running alone', () => {
    expect(foundAfter(11.5, (minute) => minute % 3 > 0)).toBe(22);
    expect(foundAfter(11.5, () => false)).toBeNull();
  });
});
