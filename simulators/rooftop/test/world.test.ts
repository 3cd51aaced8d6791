import { createHash } from 'node:crypto';
import { encodeSenmlJson } from '@lineside/readings';
import { describe, expect, it } from 'vitest';
import { createWorld, healthyScript, readDemoFleet, type World } from '../src/index.ts';
import { DAY_MS, MINUTE_MS, minutesOf, START_MS, smallWorld, TRACK } from './small-world.ts';

function fingerprint(world: World, days: number): string {
  const hash = createHash('sha256');
  for (const { atMs, channels } of minutesOf(world, days)) {
    if (channels !== null) hash.update(encodeSenmlJson('test:', [{ atMs, channels }]));
  }
  return hash.digest('hex');
}

describe('a world', () => {
  it('gives the same bytes for the same seed, and others for another', () => {
    const options = { faults: [TRACK], days: 3 };
    const first = fingerprint(smallWorld(options), 3);
    expect(fingerprint(smallWorld(options), 3)).toBe(first);
    expect(fingerprint(smallWorld({ ...options, seed: 2 }), 3)).not.toBe(first);
  });

  it('gives a unit the same readings whether others are stepped before, between or never', () => {
    const demo = (): World =>
      createWorld({
        seed: 5,
        fleet: readDemoFleet(),
        scenario: {
          nowMs: START_MS + DAY_MS,
          startMs: START_MS,
          seasonDayAtNow: 20,
          climates: {},
          storms: [],
          units: [],
        },
        startMs: START_MS,
      });
    const alone = demo().unit('alder-fork', 'rtu-04');
    const crowded = demo();
    for (let minute = 1; minute <= 300; minute += 1) {
      const atMs = START_MS + minute * MINUTE_MS;
      const readings = crowded.units.map((unit) => unit.step(atMs));
      const index = crowded.units.findIndex(
        ({ unit }) => unit.site === 'alder-fork' && unit.id === 'rtu-04',
      );
      expect(readings[index]).toEqual(alone.step(atMs));
    }
  });

  it('refuses to step back, and a scenario with a unit that is not there', () => {
    const unit = smallWorld().unit('test-site', 'rtu-01');
    unit.step(START_MS + MINUTE_MS);
    expect(() => unit.step(START_MS + MINUTE_MS)).toThrow(/already/);
    const fleet = readDemoFleet();
    const scenario = {
      nowMs: START_MS,
      startMs: START_MS,
      seasonDayAtNow: 20,
      climates: {},
      storms: [],
      units: [healthyScript('alder-fork', 'rtu-99')],
    };
    expect(() => createWorld({ seed: 1, fleet, scenario, startMs: START_MS })).toThrow(/rtu-99/);
  });

  it('steps across a gap as if it had gone through it', () => {
    const jumped = smallWorld({ days: 2 });
    const walked = smallWorld({ days: 2 });
    const endMs = START_MS + DAY_MS;
    jumped.unit('test-site', 'rtu-01').step(endMs);
    for (let atMs = START_MS + MINUTE_MS; atMs <= endMs; atMs += MINUTE_MS) {
      walked.unit('test-site', 'rtu-01').step(atMs);
    }
    expect(jumped.unit('test-site', 'rtu-01').truth()).toEqual(
      walked.unit('test-site', 'rtu-01').truth(),
    );
  });

  it('may be stepped every ten seconds as well, with much the same climate inside', () => {
    const fine = smallWorld({ days: 1 }).unit('test-site', 'rtu-01');
    const coarse = smallWorld({ days: 1 }).unit('test-site', 'rtu-01');
    for (let atMs = START_MS + 10_000; atMs <= START_MS + DAY_MS; atMs += 10_000) fine.step(atMs);
    coarse.step(START_MS + DAY_MS);
    const inside = fine.truth().compartment;
    const other = coarse.truth().compartment;
    expect(Math.abs(inside.airCelsius - other.airCelsius)).toBeLessThan(1);
    expect(Math.abs(inside.vapourPascals - other.vapourPascals)).toBeLessThan(40);
  });

  it('reports rain and snow of a station as sums since its last report', () => {
    const world = smallWorld({ days: 6 });
    const station = world.stations[0]!;
    let reported = 0;
    const endMs = START_MS + 6 * DAY_MS;
    for (let atMs = START_MS + 5 * MINUTE_MS; atMs <= endMs; atMs += 5 * MINUTE_MS) {
      const { channels } = station.step(atMs);
      reported += channels.rain! + channels.snow!;
    }
    let fallen = 0;
    for (let atMs = START_MS + MINUTE_MS; atMs <= endMs; atMs += MINUTE_MS) {
      const minute = world.site('test-site').at(atMs);
      fallen += minute.rainMm + minute.snowMm;
    }
    expect(fallen).toBeGreaterThan(5);
    expect(Math.abs(reported - fallen)).toBeLessThan(0.03 * fallen);
  });
});
