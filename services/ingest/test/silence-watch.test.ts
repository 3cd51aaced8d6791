import type { Alarm } from '@lineside/alarms';
import { describe, expect, it } from 'vitest';
import { FleetIndex } from '../src/fleet-index.ts';
import { SilenceWatch } from '../src/judging/silence-watch.ts';
import { INVENTED_FLEET } from './stand-ins/invented-fleet.ts';

const HOUR_MS = 3_600_000;

function makeWatch(): SilenceWatch {
  return new SilenceWatch(new FleetIndex(() => INVENTED_FLEET));
}

/** Kind, change and time of all findings since the last look. */
function found(watch: SilenceWatch) {
  return watch
    .take()
    .flatMap(({ unit, changes }) =>
      changes.map(({ kind, change, atMs }) => [unit, kind, change, atMs]),
    );
}

function standing(kind: 'silent' | 'sensor', evidence: Alarm['evidence']): Alarm {
  return {
    id: 'a1',
    site: 'harbour-mall',
    unit: 'rtu-01',
    kind,
    priority: 'routine',
    state: 'unacknowledged',
    standing: true,
    raisedAtMs: 0,
    clearedAtMs: null,
    acknowledgedAtMs: null,
    acknowledgedBy: null,
    shelvedUntilMs: null,
    shelvedBy: null,
    shelveReason: null,
    priorities: [],
    headline: '',
    evidence,
    causes: [],
    withdrawn: false,
    revision: 1,
  };
}

describe('silence', () => {
  it('is found after the limit, and ends with the next message', () => {
    const watch = makeWatch();
    watch.received('harbour-mall', 'rtu-01', 0, 0);
    watch.tick(HOUR_MS - 1);
    expect(found(watch)).toEqual([]);
    watch.tick(HOUR_MS);
    expect(found(watch)).toEqual([['rtu-01', 'silent', 'opened', HOUR_MS]]);
    watch.received('harbour-mall', 'rtu-01', 2 * HOUR_MS, 0);
    expect(found(watch)).toEqual([['rtu-01', 'silent', 'closed', 2 * HOUR_MS]]);
    expect(watch.hasFindings).toBe(false);
  });

  it('is not found of units that were never heard, are retired, or are unknown', () => {
    const watch = makeWatch();
    watch.received('harbour-mall', 'old-unit', 0, 0);
    watch.received('harbour-mall', 'rtu-99', 0, 0);
    watch.received('harbour-mall', 'weather', 0, 0);
    watch.tick(10 * HOUR_MS);
    expect(found(watch)).toEqual([]);
  });

  it('is excused for the time in which we could not listen', () => {
    const watch = makeWatch();
    watch.received('harbour-mall', 'rtu-01', 0, 0);
    watch.excuse(3 * HOUR_MS);
    watch.tick(3 * HOUR_MS + 1);
    expect(found(watch)).toEqual([]);
    watch.tick(4 * HOUR_MS);
    expect(found(watch)).toEqual([['rtu-01', 'silent', 'opened', 4 * HOUR_MS]]);
  });

  it('that stood before a restart ends with the first message after it', () => {
    const watch = makeWatch();
    watch.restore([standing('silent', {})], 0);
    watch.tick(10 * HOUR_MS);
    expect(found(watch)).toEqual([]);
    watch.received('harbour-mall', 'rtu-01', 11 * HOUR_MS, 0);
    expect(found(watch)).toEqual([['rtu-01', 'silent', 'closed', 11 * HOUR_MS]]);
  });
});

describe('clock faults', () => {
  it('are found with the twentieth refused time and end after an hour without one', () => {
    const watch = makeWatch();
    watch.received('harbour-mall', 'rtu-01', 1_000, 19);
    expect(found(watch)).toEqual([]);
    watch.received('harbour-mall', 'rtu-01', 2_000, 1);
    expect(found(watch)).toEqual([['rtu-01', 'sensor', 'opened', 2_000]]);
    watch.received('harbour-mall', 'rtu-01', HOUR_MS, 0);
    watch.tick(HOUR_MS + 2_000);
    expect(found(watch)).toEqual([['rtu-01', 'sensor', 'closed', HOUR_MS + 2_000]]);
  });

  it('that stood before a restart last another hour', () => {
    const watch = makeWatch();
    watch.restore([standing('sensor', { refusedReadings: 20 })], 0);
    watch.tick(HOUR_MS - 1);
    expect(found(watch)).toEqual([]);
    watch.tick(HOUR_MS);
    expect(found(watch)).toEqual([['rtu-01', 'sensor', 'closed', HOUR_MS]]);
  });
});
