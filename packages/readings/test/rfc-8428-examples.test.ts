/** Worked examples of RFC 8428, as in the text and the working group's generated examples. */
import { type ResolvedRecord, resolveSenml } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { parsePackBytes } from '../src/pack-bytes.ts';

const NOW_MS = Date.UTC(2026, 0, 10);

function records(pack: string | Uint8Array): readonly unknown[] {
  const parsed = parsePackBytes(typeof pack === 'string' ? new TextEncoder().encode(pack) : pack);
  if (!parsed.ok) throw new Error(parsed.refusal.reason);
  return parsed.records;
}

function resolve(pack: string | Uint8Array): readonly ResolvedRecord[] {
  const resolution = resolveSenml(records(pack), { receivedAtMs: NOW_MS });
  if (!resolution.ok) throw new Error(resolution.refusal.reason);
  return resolution.records;
}

const JSON_5_1_2 = `[
  {"bn":"urn:dev:ow:10e2073a0108006:","bt":1.276020076001e+09,"bu":"A","bver":5,
   "n":"voltage","u":"V","v":120.1},
  {"n":"current","t":-5,"v":1.2},{"n":"current","t":-4,"v":1.3},{"n":"current","t":-3,"v":1.4},
  {"n":"current","t":-2,"v":1.5},{"n":"current","t":-1,"v":1.6},{"n":"current","v":1.7}]`;

const CBOR_6 =
  '87a721781b75726e3a6465763a6f773a3130653230373361303130383030363a22fb41d303a15b00106223614120' +
  '050067766f6c7461676501615602fb405e066666666666a3006763757272656e74062402fb3ff3333333333333a3' +
  '006763757272656e74062302fb3ff4cccccccccccda3006763757272656e74062202fb3ff6666666666666a30067' +
  '63757272656e74062102f93e00a3006763757272656e74062002fb3ff999999999999aa3006763757272656e7406' +
  '0002fb3ffb333333333333';

/** Resolved form of section 5.1.2, chronological as section 4.6 asks. */
const CURRENTS = [
  ['current', 'A', 1276020071.001, 1.2],
  ['current', 'A', 1276020072.001, 1.3],
  ['current', 'A', 1276020073.001, 1.4],
  ['current', 'A', 1276020074.001, 1.5],
  ['current', 'A', 1276020075.001, 1.6],
  ['voltage', 'V', 1276020076.001, 120.1],
  ['current', 'A', 1276020076.001, 1.7],
] as const;

function expectCurrents(resolved: readonly ResolvedRecord[]): void {
  expect(resolved).toHaveLength(CURRENTS.length);
  for (const [index, [name, unit, seconds, value]] of CURRENTS.entries()) {
    const record = resolved[index]!;
    expect(record.name).toBe(`urn:dev:ow:10e2073a0108006:${name}`);
    expect(record.unit).toBe(unit);
    expect(Math.round(record.timeSeconds * 1000)).toBe(Math.round(seconds * 1000));
    expect(record.value).toBe(value);
  }
}

describe('RFC 8428 examples', () => {
  it('section 5.1.1: a single datapoint taken now', () => {
    const [record] = resolve('[{"n":"urn:dev:ow:10e2073a01080063","u":"Cel","v":23.1}]');
    expect(record).toMatchObject({ name: 'urn:dev:ow:10e2073a01080063', unit: 'Cel', value: 23.1 });
    expect(record?.timeSeconds).toBe(NOW_MS / 1000);
  });

  it('section 5.1.2: base fields, version 5 and relative times resolve', () => {
    expectCurrents(resolve(JSON_5_1_2));
  });

  it('section 5.1.2: a stream of humidity values keeps its times', () => {
    const offsets = [0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 91, 92];
    const values = [21.2, 21.3, 21.4, 21.4, 21.5, 21.5, 21.5, 21.6, 21.7, 21.5, 21.5, 21.5];
    const stream = offsets.map((t, index) =>
      index === 0
        ? { bn: 'urn:dev:ow:10e2073a01080063', bt: 1.320067464e9, bu: '%RH', v: values[0] }
        : { t, v: values[index] },
    );
    const resolved = resolve(JSON.stringify(stream));
    expect(resolved.map((one) => one.timeSeconds)).toEqual(offsets.map((t) => 1320067464 + t));
    expect(resolved.map((one) => one.value)).toEqual(values);
    expect(new Set(resolved.map((one) => one.unit))).toEqual(new Set(['%RH']));
  });

  it('sections 5.1.3 and 5.1.4: a mobile device resolves to the printed records', () => {
    const resolved = resolve(`[
      {"bn":"urn:dev:ow:10e2073a01080063","bt":1.320067464e+09,"bu":"%RH","v":20},
      {"u":"lon","v":24.30621},{"u":"lat","v":60.07965},
      {"t":60,"v":20.3},{"u":"lon","t":60,"v":24.30622},{"u":"lat","t":60,"v":60.07965},
      {"t":120,"v":20.7},{"u":"lon","t":120,"v":24.30623},{"u":"lat","t":120,"v":60.07966},
      {"u":"%EL","t":150,"v":98},
      {"t":180,"v":21.2},{"u":"lon","t":180,"v":24.30628},{"u":"lat","t":180,"v":60.07967}]`);
    const printed = [
      ['%RH', 1320067464, 20],
      ['lon', 1320067464, 24.30621],
      ['lat', 1320067464, 60.07965],
      ['%RH', 1320067524, 20.3],
      ['lon', 1320067524, 24.30622],
      ['lat', 1320067524, 60.07965],
      ['%RH', 1320067584, 20.7],
      ['lon', 1320067584, 24.30623],
      ['lat', 1320067584, 60.07966],
      ['%EL', 1320067614, 98],
      ['%RH', 1320067644, 21.2],
      ['lon', 1320067644, 24.30628],
      ['lat', 1320067644, 60.07967],
    ];
    expect(resolved.map((one) => [one.unit, one.timeSeconds, one.value])).toEqual(printed);
    expect(new Set(resolved.map((one) => one.name)).size).toBe(1);
  });

  it('section 5.1.5: text, boolean and data values', () => {
    const resolved = resolve(`[
      {"bn":"urn:dev:ow:10e2073a01080063:","n":"temp","u":"Cel","v":23.1},
      {"n":"label","vs":"Machine Room"},{"n":"open","vb":false},{"n":"nfv-reader","vd":"aGkgCg"}]`);
    expect(resolved.map((one) => one.value ?? one.text ?? one.boolean ?? one.data)).toEqual([
      23.1,
      'Machine Room',
      false,
      'aGkgCg',
    ]);
  });

  it('section 6: the 195 bytes of CBOR resolve to the same records as the JSON', () => {
    const bytes = Uint8Array.from(Buffer.from(CBOR_6, 'hex'));
    expect(bytes).toHaveLength(195);
    expectCurrents(resolve(bytes));
    expect(records(bytes)[0]).toEqual(
      new Map<number, unknown>([
        [-2, 'urn:dev:ow:10e2073a0108006:'],
        [-3, 1276020076.001],
        [-4, 'A'],
        [-1, 5],
        [0, 'voltage'],
        [1, 'V'],
        [2, 120.1],
      ]),
    );
  });
});
