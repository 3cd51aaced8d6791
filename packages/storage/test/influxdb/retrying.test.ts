import { HttpError } from '@influxdata/influxdb-client';
import { describe, expect, it } from 'vitest';
import { influxFailure, isPassing } from '../../src/influxdb/influx-failure.ts';
import { retrying } from '../../src/influxdb/retrying.ts';

/** A clock that moves by the pauses, and by `attemptMs` an attempt. */
function trial(errors: readonly unknown[], attemptMs = 0) {
  let nowMs = 0;
  let attempts = 0;
  const pauses: number[] = [];
  const result = retrying(
    async () => {
      const error = errors[attempts];
      attempts += 1;
      nowMs += attemptMs;
      if (error !== undefined) throw error;
      return attempts;
    },
    {
      now: () => nowMs,
      pause: async (ms) => {
        pauses.push(ms);
        nowMs += ms;
      },
    },
  );
  return { result, pauses };
}

const BUSY: HttpError = new HttpError(503, 'Service Unavailable');
const REFUSED: Error = new Error('connect ECONNREFUSED');

describe('retrying', () => {
  it('goes on after failures that pass, with growing pauses', async () => {
    const { result, pauses } = trial([REFUSED, BUSY]);
    expect(await result).toBe(3);
    expect(pauses).toEqual([100, 400]);
  });

  it('gives up after four tries with the last error', async () => {
    const { result, pauses } = trial([REFUSED, REFUSED, REFUSED, BUSY]);
    await expect(result).rejects.toBe(BUSY);
    expect(pauses).toHaveLength(3);
  });

  it('does not repeat what would fail again', async () => {
    const bad = new HttpError(400, 'Bad Request');
    const { result, pauses } = trial([bad]);
    await expect(result).rejects.toBe(bad);
    expect(pauses).toEqual([]);
  });

  it('does as long a pause as the server asks for, unless that is too long', async () => {
    const busy = (seconds: string): HttpError =>
      new HttpError(429, 'Busy', '', seconds, null, undefined, { 'retry-after': seconds });
    const soon = busy('2');
    const patient = trial([soon]);
    expect(await patient.result).toBe(2);
    expect(patient.pauses).toEqual([2_000]);
    const late = busy('60');
    await expect(trial([late]).result).rejects.toBe(late);
  });

  it('begins no try after four seconds', async () => {
    const { result, pauses } = trial([REFUSED, REFUSED, REFUSED], 3_800);
    await expect(result).rejects.toBe(REFUSED);
    expect(pauses).toEqual([100]);
  });
});

describe('influxFailure', () => {
  it('tells a full disk from a server that is out', () => {
    const full = new HttpError(500, 'Internal', '{"error":"write wal: no space left on device"}');
    expect(influxFailure(full, 'InfluxDB')).toMatchObject({ code: 'STORE_FULL', cause: full });
    expect(influxFailure(REFUSED, 'InfluxDB')).toMatchObject({
      code: 'STORE_UNAVAILABLE',
      message: 'InfluxDB failed: connect ECONNREFUSED',
    });
  });

  it.each([
    [401, 'LINESIDE_INFLUX_TOKEN'],
    [404, 'LINESIDE_INFLUX_BUCKET'],
  ])('says at status %i what to look at', (status, setting) => {
    expect(influxFailure(new HttpError(status, 'no'), 'InfluxDB').message).toContain(setting);
  });

  it('takes only 429 and 5xx of HTTP for passing', () => {
    const passing = [400, 401, 404, 413, 429, 500, 503].filter((status) =>
      isPassing(new HttpError(status, '')),
    );
    expect(passing).toEqual([429, 500, 503]);
    expect(isPassing(new HttpError(500, '', 'no space left on device'))).toBe(false);
  });
});
