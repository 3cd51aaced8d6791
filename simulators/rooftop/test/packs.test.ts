import {
  CHANNELS,
  decodePack,
  encodeSenmlCbor,
  encodeSenmlJson,
  PACK_MOST_BYTES,
  PACK_MOST_RECORDS,
} from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import type { SimulatedReading } from '../src/index.ts';
import { PACK_MOST_READINGS } from '../src/publish/node-link.ts';
import { MINUTE_MS, START_MS, smallWorld, TRACK } from './small-world.ts';

const EVERYTHING = {
  plateSensor: true,
  voltages: true,
  voltagesToGround: true,
  resistiveLeakage: true,
  bursts: true,
  doorSwitch: true,
} as const;

function packOfReadings(): SimulatedReading[] {
  const unit = smallWorld({ faults: [TRACK], script: { node: EVERYTHING } }).unit(
    'test-site',
    'rtu-01',
  );
  return Array.from({ length: PACK_MOST_READINGS }, (_, index) => {
    const reading = unit.step(START_MS + (index + 1) * MINUTE_MS + unit.sampleOffsetMs);
    if (reading === null) throw new Error('a battery node always measures');
    return reading;
  });
}

describe('packs', () => {
  const readings = packOfReadings();

  it.each([
    ['JSON', encodeSenmlJson],
    ['CBOR', encodeSenmlCbor],
  ])('in %s decode to what was simulated and stay under the limits', (_, encode) => {
    const payload = encode('test-site/rtu-01:', readings);
    expect(payload.length).toBeLessThan(PACK_MOST_BYTES);
    const receivedAtMs = START_MS + 3 * 3_600_000;
    const decoded = decodePack(payload, { receivedAtMs, oldestAtMs: 0, weather: false });
    expect(decoded.readings.map(({ atMs }) => atMs)).toEqual(readings.map(({ atMs }) => atMs));
    for (const [index, reading] of readings.entries()) {
      const got = decoded.readings[index]!.channels;
      expect(Object.keys(got).sort()).toEqual(Object.keys(reading.channels).sort());
      for (const { name } of CHANNELS) {
        const value = reading.channels[name];
        if (value !== undefined) expect(got[name]).toBeCloseTo(value, 9);
      }
    }
    const records = readings.reduce((sum, { channels }) => sum + Object.keys(channels).length, 0);
    expect(records).toBeLessThan(PACK_MOST_RECORDS);
  });

  it('hold only plausible values', () => {
    for (const { channels } of readings) {
      expect(channels.rh).toBeGreaterThanOrEqual(0);
      expect(channels.rh).toBeLessThanOrEqual(100);
      expect(channels.leak).toBeGreaterThanOrEqual(0);
      expect(channels.leakmax).toBeGreaterThanOrEqual(channels.leak!);
      expect(channels.batt).toBeGreaterThan(3);
    }
  });
});
