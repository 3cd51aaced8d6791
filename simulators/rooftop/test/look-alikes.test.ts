import { describe, expect, it } from 'vitest';
import type { Fault, LookAlike } from '../src/index.ts';
import {
  DAY_MS,
  HOUR_MS,
  MINUTE_MS,
  type Minute,
  mean,
  minutesOf,
  type SmallWorldOptions,
  START_MS,
  smallWorld,
} from './small-world.ts';

const FROM_MS = START_MS + 2 * DAY_MS;
const TO_MS = START_MS + 3 * DAY_MS;
const SPAN = { fromMs: FROM_MS, toMs: TO_MS };

/** Four days with and without something, minute by minute. */
function pairOf(
  lookAlikes: readonly LookAlike[],
  options: SmallWorldOptions = {},
): { readonly odd: Minute[]; readonly plain: Minute[] } {
  const { script, ...rest } = { climate: 'humid-coast', ...options } as const;
  const odd = smallWorld({ ...rest, script: { ...script, lookAlikes } });
  return {
    odd: [...minutesOf(odd, 4)],
    plain: [
      ...minutesOf(
        smallWorld(options.script === undefined ? rest : { ...rest, script: options.script }),
        4,
      ),
    ],
  };
}

const within = ({ atMs }: Minute): boolean => atMs >= FROM_MS && atMs < TO_MS;
const before = ({ atMs }: Minute): boolean => atMs < FROM_MS;
const idle = ({ truth }: Minute): boolean => truth.loadsRunning === 0;
const running = ({ truth }: Minute): boolean => truth.loadsRunning > 0;

function leak(minutes: readonly Minute[]): number {
  return mean(minutes.map(({ channels }) => 1000 * channels!.leak!));
}

function amps(minutes: readonly Minute[], phase: 'ia' | 'ib' | 'ic'): number {
  return mean(minutes.map(({ channels }) => channels![phase]!));
}

/** Nothing but what is named may differ, and before it nothing at all. */
function expectSameBut(
  odd: readonly Minute[],
  plain: readonly Minute[],
  names: readonly string[],
): void {
  for (const [index, { channels }] of odd.entries()) {
    const other = plain[index]!.channels!;
    for (const [name, value] of Object.entries(channels!)) {
      if (names.includes(name)) continue;
      expect(value, name).toBeCloseTo(other[name as keyof typeof other]!, 1);
    }
  }
}

describe('a filter', () => {
  it('is an offset while energised, idle as well as running, whatever the humidity', () => {
    const { odd, plain } = pairOf([{ kind: 'emi-filter', milliamps: 9, ...SPAN }]);
    expect(leak(odd.filter(before))).toBe(leak(plain.filter(before)));
    for (const state of [idle, running]) {
      const pick = (minute: Minute): boolean => within(minute) && state(minute);
      expect(leak(odd.filter(pick)) - leak(plain.filter(pick))).toBeGreaterThan(6);
    }
    expectSameBut(odd, plain, ['leak']);
  });
});

describe('current transformers that drift', () => {
  it('follow the temperature of the compartment', () => {
    const drift = { leakMilliampsPerKelvin: 0.1, currentPercentPerKelvin: 0.2 };
    const { odd, plain } = pairOf([{ kind: 'transformer-drift', ...drift, ...SPAN }]);
    const extra = odd.map((minute, index) => ({
      minute,
      leak: 1000 * (minute.channels!.leak! - plain[index]!.channels!.leak!),
    }));
    const warmest = Math.max(...odd.filter(within).map(({ channels }) => channels!.t!));
    const coldest = Math.min(...odd.filter(within).map(({ channels }) => channels!.t!));
    const at = (celsius: number): number =>
      mean(
        extra
          .filter(({ minute }) => within(minute) && Math.abs(minute.channels!.t! - celsius) < 0.7)
          .map((one) => one.leak),
      );
    expect(Math.abs(at(warmest) - at(coldest))).toBeGreaterThan(0.04 * (warmest - coldest));
    expectSameBut(odd, plain, ['leak', 'ia', 'ib', 'ic']);
  });
});

describe('a load error of the residual sensor', () => {
  it('goes with the amps and is gone at idle', () => {
    const error = { kind: 'residual-load-error', percentOfLoad: 0.08, ...SPAN } as const;
    const { odd, plain } = pairOf([error]);
    const extra = (state: (minute: Minute) => boolean): number => {
      const pick = (minute: Minute): boolean => within(minute) && state(minute);
      return leak(odd.filter(pick)) - leak(plain.filter(pick));
    };
    expect(extra(running)).toBeGreaterThan(2);
    expect(Math.abs(extra(idle))).toBeLessThan(0.4);
    expectSameBut(odd, plain, ['leak']);
  });
});

describe('a crankcase heater', () => {
  it('draws at idle from two phases and ends at the start', () => {
    const without = { script: { build: { crankcaseHeaters: false } } };
    const { odd } = pairOf([], without);
    const { plain } = pairOf([]);
    const resting = ({ truth }: Minute): boolean => truth.compressorsRunning === 0;
    expect(amps(plain.filter(idle), 'ic') - amps(odd.filter(idle), 'ic')).toBeGreaterThan(0.1);
    expect(amps(plain.filter(idle), 'ib') - amps(odd.filter(idle), 'ib')).toBeGreaterThan(0.05);
    expect(amps(plain.filter(idle), 'ia')).toBeCloseTo(amps(odd.filter(idle), 'ia'), 2);
    const starts = (minute: Minute): boolean => !resting(minute);
    expect(amps(plain.filter(starts), 'ic')).toBeCloseTo(amps(odd.filter(starts), 'ic'), 2);
  });
});

const HEATED = `
          supply: { volts: 480 }
          contactors:
            - { name: C1, load: compressor 1, poles: 3, fla: 18 }
            - { name: C2, load: fans, poles: 3, fla: 5 }
            - { name: C3, load: electric heater, poles: 3, fla: 24 }
          node: { supply: battery }`;

describe('a damp heater element', () => {
  it('leaks most when first energised and dries within the hour', () => {
    const damp = { contactor: 2, phase: 'b', milliamps: 15, dryingMinutes: 8 } as const;
    const options = { unitYaml: HEATED, climate: 'high-plain' } as const;
    const span = { fromMs: START_MS, toMs: START_MS + 4 * DAY_MS };
    const { odd, plain } = pairOf([{ kind: 'damp-heater', ...damp, ...span }], options);
    const extra = odd.map(({ channels }, index) => channels!.leak! - plain[index]!.channels!.leak!);
    const first = extra.findIndex((milliamps) => milliamps > 0.005);
    expect(first).toBeGreaterThanOrEqual(0);
    const later = extra.slice(first + 12 * 60);
    expect(Math.max(...later)).toBeLessThan(0.5 * Math.max(...extra.slice(first, first + 30)));
    expectSameBut(odd, plain, ['leak']);
  });
});

describe('an ageing surge arrester', () => {
  it('steps after lightning, idle as much as running', () => {
    const strokesMs = [FROM_MS + 2 * HOUR_MS, FROM_MS + 12 * HOUR_MS];
    const arrester = {
      kind: 'surge-arrester',
      phase: 'a',
      strokesMs,
      milliampsPerStroke: 8,
    } as const;
    const { odd, plain } = pairOf([{ ...arrester, fromMs: START_MS, toMs: START_MS + 9 * DAY_MS }]);
    const change = (fromMs: number, toMs: number, state: (minute: Minute) => boolean): number => {
      const pick = (minute: Minute): boolean =>
        minute.atMs > fromMs && minute.atMs < toMs && state(minute);
      return Math.abs(leak(odd.filter(pick)) - leak(plain.filter(pick)));
    };
    expect(change(START_MS, strokesMs[0]!, running)).toBe(0);
    for (const state of [idle, running]) {
      const once = change(strokesMs[0]!, strokesMs[1]!, state);
      const twice = change(strokesMs[1]!, START_MS + 4 * DAY_MS, state);
      expect(once).toBeGreaterThan(4);
      expect(twice).toBeGreaterThan(once + 5);
    }
    expectSameBut(odd, plain, ['leak']);
  });
});

describe('what stops or feeds units from outside', () => {
  it('leaves the idle current when a smoke detector stops the loads', () => {
    const { odd } = pairOf([{ kind: 'safety-stop', reason: 'smoke', ...SPAN }]);
    const stopped = odd.filter(within);
    expect(stopped.every(idle)).toBe(true);
    expect(amps(stopped, 'ia')).toBeGreaterThan(0.1);
    expect(odd.filter((minute) => minute.atMs > TO_MS).some(running)).toBe(true);
  });

  it('takes all currents of all units of a site in a utility outage', () => {
    const siteEvents = [{ kind: 'utility-outage', site: 'test-site', ...SPAN } as const];
    const minutes = [...minutesOf(smallWorld({ siteEvents }), 4)].filter(within);
    expect(
      Math.max(...minutes.map(({ channels }) => channels!.ia! + channels!.leak!)),
    ).toBeLessThan(0.0003);
    const script = { node: { voltages: true } };
    const volts = [...minutesOf(smallWorld({ siteEvents, script }), 3)].filter(within);
    expect(Math.max(...volts.map(({ channels }) => channels!.vab!))).toBeLessThan(2);
  });

  it('keeps readings of a site back when its gateway is lost, newest first or for good', () => {
    const loss = { kind: 'gateway-loss', site: 'test-site', ...SPAN } as const;
    const unitWith = (backlog: 'newest-first' | 'lost') =>
      smallWorld({ siteEvents: [{ ...loss, backlog }] }).unit('test-site', 'rtu-01');
    const newest = unitWith('newest-first');
    expect(newest.arrivalMs(FROM_MS)).toBeGreaterThan(newest.arrivalMs(TO_MS - MINUTE_MS)!);
    expect(newest.arrivalMs(TO_MS)).toBe(TO_MS);
    expect(unitWith('lost').arrivalMs(FROM_MS)).toBeNull();
  });

  it('draws from one phase and the neutral at a service outlet, in working hours, no leakage', () => {
    const outlet = { kind: 'service-outlet', phases: ['b'], amps: 6, ...SPAN } as const;
    const { odd, plain } = pairOf([outlet]);
    const used = odd.filter(
      ({ channels }, index) => channels!.ib! > plain[index]!.channels!.ib! + 4,
    );
    expect(used.length).toBeGreaterThan(60);
    expect(used.length).toBeLessThan(10 * 60);
    expect(used.every(within)).toBe(true);
    expectSameBut(odd, plain, ['ib', 'leak']);
    expect(leak(odd)).toBeCloseTo(leak(plain), 1);
  });

  it('shows an open door and no current while coils are washed', () => {
    const script = { node: { doorSwitch: true } };
    const { odd, plain } = pairOf([{ kind: 'coil-washing', ...SPAN }], { script });
    const washed = odd.filter(within);
    expect(washed.every(({ channels }) => channels!.door === 1)).toBe(true);
    expect(Math.max(...washed.map(({ channels }) => channels!.ia!))).toBe(0);
    expect(plain.some(({ channels }) => channels!.door === 1)).toBe(false);
  });
});

describe('a phase that the utility loses', () => {
  const lost = (phase: 'a' | 'c', through: 'direct' | 'delta-wye'): Fault => ({
    kind: 'utility-phase-lost',
    phase,
    through,
    ...SPAN,
  });

  it('gives 115, 115 and 230 % through a delta-wye transformer', () => {
    const odd = [...minutesOf(smallWorld({ faults: [lost('a', 'delta-wye')] }), 4)];
    const plain = [...minutesOf(smallWorld(), 4)];
    const both = odd.flatMap((minute, index) => {
      const other = plain[index]!;
      const same = minute.truth.loadsRunning === other.truth.loadsRunning;
      return within(minute) && minute.truth.compressorsRunning > 0 && same ? [[minute, other]] : [];
    });
    expect(both.length).toBeGreaterThan(10);
    const ratio = (phase: 'ia' | 'ib' | 'ic'): number =>
      mean(both.map(([minute, other]) => minute!.channels![phase]! / other!.channels![phase]!));
    // Control transformer and differences between the phases take their part.
    expect(Math.abs(ratio('ia') - 2.3)).toBeLessThan(0.12);
    expect(Math.abs(ratio('ib') - 1.15)).toBeLessThan(0.08);
    expect(Math.abs(ratio('ic') - 1.15)).toBeLessThan(0.08);
  });

  it('drops everything when it feeds the control transformer', () => {
    const odd = [...minutesOf(smallWorld({ faults: [lost('a', 'direct')] }), 4)].filter(within);
    expect(odd.every(idle)).toBe(true);
    expect(amps(odd, 'ia')).toBe(0);
  });
});
