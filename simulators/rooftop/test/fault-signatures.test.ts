import { unbalancePercent } from '@lineside/physics';
import { describe, expect, it } from 'vitest';
import {
  DAY_MS,
  type Minute,
  mean,
  median,
  minutesOf,
  START_MS,
  smallWorld,
  TRACK,
} from './small-world.ts';

function leak(minutes: readonly Minute[]): number {
  return mean(minutes.map(({ channels }) => 1000 * channels!.leak!));
}

const idle = ({ truth }: Minute): boolean => truth.loadsRunning === 0;
const running = ({ truth }: Minute): boolean => truth.compressorsRunning > 0;
const humid = ({ channels }: Minute): boolean => channels!.rh! > 88;
const dry = ({ channels }: Minute): boolean => channels!.rh! < 65;

function amps(minutes: readonly Minute[], phase: 'ia' | 'ib' | 'ic'): number {
  return mean(minutes.map(({ channels }) => channels![phase]!));
}

describe('a healthy unit', () => {
  const minutes = [...minutesOf(smallWorld({ climate: 'humid-coast' }), 8)];

  it('leaks 0.3 to 3 mA, hardly more when humid or running', () => {
    const all = leak(minutes);
    expect(all).toBeGreaterThan(0.3);
    expect(all).toBeLessThan(3);
    expect(leak(minutes.filter(humid)) - leak(minutes.filter(dry))).toBeLessThan(0.6);
    expect(Math.abs(leak(minutes.filter(running)) - leak(minutes.filter(idle)))).toBeLessThan(2);
  });

  it('draws its idle current on two phases and balanced currents while running', () => {
    const still = minutes.filter(idle);
    expect(still.length).toBeGreaterThan(100);
    expect(amps(still, 'ia')).toBeGreaterThan(0.1);
    expect(amps(still, 'ib')).toBeGreaterThan(0.1);
    const busy = minutes.filter(running);
    const unbalance = unbalancePercent(amps(busy, 'ia'), amps(busy, 'ib'), amps(busy, 'ic'));
    expect(unbalance).toBeLessThan(4);
    expect(amps(busy, 'ia')).toBeGreaterThan(10);
  });

  it('with a drive has an offset of several mA that follows the speed, not the humidity', () => {
    const yaml = `
          supply: { volts: 480 }
          contactors:
            - { name: C1, load: compressor 1, poles: 3, fla: 18 }
            - { name: C2, load: supply fan, poles: 3, fla: 9 }
          drive: true`;
    const driven = [...minutesOf(smallWorld({ climate: 'humid-coast', unitYaml: yaml }), 8)];
    expect(leak(driven.filter(idle))).toBeGreaterThan(4);
    expect(leak(driven.filter(running))).toBeGreaterThan(leak(driven.filter(idle)) + 2);
    const still = driven.filter(idle);
    const dryish = still.filter(({ channels }) => channels!.rh! < 80);
    expect(dryish.length).toBeGreaterThan(50);
    expect(Math.abs(leak(still.filter(humid)) - leak(dryish))).toBeLessThan(0.8);
  });
});

describe('a line-side track to ground', () => {
  it('leaks with humidity, idle as well as running, and leaves the phase currents alone', () => {
    const options = { climate: 'humid-coast', seed: 3 } as const;
    const sick = [...minutesOf(smallWorld({ ...options, faults: [TRACK] }), 10)];
    const well = [...minutesOf(smallWorld(options), 10)];
    const extra = (pick: (minute: Minute) => boolean): number =>
      leak(sick.filter(pick)) - leak(well.filter(pick));
    expect(extra((minute) => humid(minute) && idle(minute))).toBeGreaterThan(0.8);
    expect(extra((minute) => humid(minute) && running(minute))).toBeGreaterThan(0.8);
    expect(Math.abs(extra((minute) => dry(minute) && idle(minute)))).toBeLessThan(0.5);
    expect(Math.abs(amps(sick, 'ia') - amps(well, 'ia'))).toBeLessThan(0.01);
    expect(Math.abs(amps(sick, 'ic') - amps(well, 'ic'))).toBeLessThan(0.01);
  });

  it('has 0.43 of the current at 208 V that it has at 480 V, and none on a grounded corner', () => {
    const energy = (supply: string, phase: 'b' | 'c'): number => {
      const yaml = `
          supply: { ${supply} }`;
      const faults = [{ ...TRACK, phase, carbonPerKilojoule: 0, depositMicrosiemens: 2 }];
      const world = smallWorld({ climate: 'humid-coast', unitYaml: yaml, faults });
      return median(
        [...minutesOf(world, 3)]
          .map(({ truth }) => truth.tracks[0]!.milliamps / truth.tracks[0]!.wetness)
          .filter(Number.isFinite),
      );
    };
    const high = energy('volts: 480, grounding: solid-wye', 'c');
    const low = energy('volts: 208, grounding: solid-wye', 'c');
    expect(low / high).toBeCloseTo(0.43, 1);
    expect(energy('volts: 480, grounding: corner-grounded-delta', 'b')).toBe(0);
    const corner = energy('volts: 480, grounding: corner-grounded-delta', 'c');
    expect(corner / high).toBeCloseTo(Math.sqrt(3), 1);
  });
});

describe('a track between poles', () => {
  it('leaves the leakage alone and adds the same idle current to two phases when wet', () => {
    const track = {
      ...TRACK,
      kind: 'track-between-poles' as const,
      phases: ['b', 'c'] as const,
      depositMicrosiemens: 1000,
      carbonPerKilojoule: 0,
    };
    const options = { climate: 'humid-coast' } as const;
    const sick = [...minutesOf(smallWorld({ ...options, faults: [track] }), 8)];
    const well = [...minutesOf(smallWorld(options), 8)];
    expect(Math.abs(leak(sick) - leak(well))).toBeLessThan(0.05);
    const wetIdle = (minute: Minute): boolean => humid(minute) && idle(minute);
    const extra = (phase: 'ia' | 'ib' | 'ic'): number =>
      amps(sick.filter(wetIdle), phase) - amps(well.filter(wetIdle), phase);
    expect(extra('ic')).toBeGreaterThan(0.05);
    expect(extra('ib')).toBeGreaterThan(0.03);
    expect(Math.abs(extra('ia'))).toBeLessThan(0.01);
  });
});

describe('bad insulation of a load', () => {
  it('leaks only while that load runs, whatever the humidity', () => {
    const fault = {
      kind: 'load-insulation',
      contactor: 0,
      phase: 'b',
      fromMs: START_MS,
      milliamps: 8,
      milliampsPerWeek: 0,
    } as const;
    const options = { climate: 'humid-coast' } as const;
    const sick = [...minutesOf(smallWorld({ ...options, faults: [fault] }), 8)];
    const well = [...minutesOf(smallWorld(options), 8)];
    const extra = (pick: (minute: Minute) => boolean): number =>
      leak(sick.filter(pick)) - leak(well.filter(pick));
    expect(Math.abs(extra(idle))).toBeLessThan(0.05);
    expect(extra(running)).toBeGreaterThan(4);
    const inRain = extra((minute) => running(minute) && humid(minute));
    const inDry = extra((minute) => running(minute) && dry(minute));
    expect(Math.abs(inRain - inDry)).toBeLessThan(1.5);
  });
});

describe('water inside', () => {
  it('shows as vapour pressure above the outside for days after driven rain', () => {
    const rain = {
      site: 'test-site',
      stages: [
        {
          fromMs: START_MS + DAY_MS,
          toMs: START_MS + 1.5 * DAY_MS,
          celsius: 9,
          dewPointDepressionKelvin: 1,
          windMetresPerSecond: 12,
          windFromDegrees: 90,
          wetMmPerHour: 3,
        },
        {
          fromMs: START_MS + 1.5 * DAY_MS,
          toMs: START_MS + 4 * DAY_MS,
          celsius: 12,
          dewPointDepressionKelvin: 8,
          windMetresPerSecond: 3,
          windFromDegrees: 270,
          wetMmPerHour: 0,
        },
      ],
    };
    const opening = { facingDegrees: 90, catchSquareMetres: 0.02, drainBlocked: true };
    const faults = [{ kind: 'water-ingress', opening } as const];
    const excess = (minutes: readonly Minute[]): number =>
      mean(
        minutes
          .filter(({ atMs }) => atMs > START_MS + 1.8 * DAY_MS && atMs < START_MS + 2.5 * DAY_MS)
          .map(({ truth, weather }) => truth.compartment.vapourPascals - weather.vapourPascals),
      );
    const sick = [...minutesOf(smallWorld({ storms: [rain], faults }), 3)];
    const well = [...minutesOf(smallWorld({ storms: [rain] }), 3)];
    expect(excess(sick)).toBeGreaterThan(150);
    expect(Math.abs(excess(well))).toBeLessThan(50);
    expect(leak(sick)).toBeLessThan(3);
  });
});

describe('a loose terminal', () => {
  it('lets one phase fall behind while that load runs, late and then fast', () => {
    const fault = {
      kind: 'loose-terminal',
      contactor: 0,
      phase: 'b',
      fromMs: START_MS,
      untilMs: START_MS + 10 * DAY_MS,
      finalPercent: 20,
    } as const;
    const minutes = [...minutesOf(smallWorld({ climate: 'humid-coast', faults: [fault] }), 10)];
    const unbalance = (fromDay: number, toDay: number): number => {
      const busy = minutes.filter(
        (minute) =>
          running(minute) &&
          minute.atMs >= START_MS + fromDay * DAY_MS &&
          minute.atMs < START_MS + toDay * DAY_MS,
      );
      return unbalancePercent(amps(busy, 'ia'), amps(busy, 'ib'), amps(busy, 'ic'));
    };
    expect(unbalance(0, 4)).toBeLessThan(4);
    expect(unbalance(9, 10)).toBeGreaterThan(8);
    const still = minutes.filter((minute) => idle(minute) && minute.atMs > START_MS + 9 * DAY_MS);
    expect(amps(still, 'ib')).toBeGreaterThan(0.1);
  });
});

describe('a low phase of the supply', () => {
  it('unbalances the currents several times as much as the voltages', () => {
    const fault = {
      kind: 'supply-unbalance',
      phase: 'a',
      fromMs: START_MS,
      lowPercent: 4,
    } as const;
    const world = smallWorld({ faults: [fault], script: { node: { voltages: true } } });
    const busy = [...minutesOf(world, 3)].filter(running);
    const volts = (name: 'vab' | 'vbc' | 'vca'): number =>
      mean(busy.map(({ channels }) => channels![name]!));
    const voltage = unbalancePercent(volts('vab'), volts('vbc'), volts('vca'));
    const current = unbalancePercent(amps(busy, 'ia'), amps(busy, 'ib'), amps(busy, 'ic'));
    expect(voltage).toBeGreaterThan(1);
    expect(current).toBeGreaterThan(4 * voltage);
  });
});

describe('a dead current sensor', () => {
  it('reads zero on one phase while the load carries on in the others', () => {
    const fault = { kind: 'current-sensor-dead', phase: 'b', fromMs: START_MS } as const;
    const busy = [...minutesOf(smallWorld({ faults: [fault] }), 2)].filter(running);
    expect(amps(busy, 'ib')).toBeLessThan(0.05);
    const well = [...minutesOf(smallWorld(), 2)].filter(running);
    expect(amps(busy, 'ia') / amps(well, 'ia')).toBeCloseTo(1, 2);
  });
});
