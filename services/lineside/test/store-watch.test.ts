import { StoreError } from '@lineside/storage';
import pino from 'pino';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { StoreWatch } from '../src/serve/store-watch.ts';

const log = pino({ level: 'silent' });
const EVERY_MS = 10_000;

beforeEach(() => {
  vi.useFakeTimers();
});

afterEach(() => {
  vi.useRealTimers();
});

describe('the watch of the store', () => {
  it('tells of a server that does not answer while nobody sends, until it does', async () => {
    let isOut = false;
    const look = async (): Promise<void> => {
      if (isOut) throw new StoreError('STORE_UNAVAILABLE', 'InfluxDB at db:8086: refused');
    };
    const watch = new StoreWatch({ telemetry: { look }, log });
    watch.start();
    await vi.advanceTimersByTimeAsync(EVERY_MS);
    expect(watch.troubles()).toEqual([]);
    isOut = true;
    await vi.advanceTimersByTimeAsync(EVERY_MS);
    expect(watch.troubles()).toEqual([
      {
        part: 'telemetry',
        reason:
          'does not answer: InfluxDB at db:8086: refused; ' +
          'charts are empty and nothing new can be stored',
      },
    ]);
    isOut = false;
    await vi.advanceTimersByTimeAsync(EVERY_MS);
    expect(watch.troubles()).toEqual([]);
    watch.stop();
  });

  it('asks no second time before the first is answered, and never after its end', async () => {
    let asked = 0;
    let answer: () => void = () => {};
    const look = (): Promise<void> => {
      asked += 1;
      return new Promise((resolve) => {
        answer = resolve;
      });
    };
    const watch = new StoreWatch({ telemetry: { look }, log });
    watch.start();
    await vi.advanceTimersByTimeAsync(5 * EVERY_MS);
    expect(asked).toBe(1);
    answer();
    await vi.advanceTimersByTimeAsync(EVERY_MS);
    expect(asked).toBe(2);
    watch.stop();
    answer();
    await vi.advanceTimersByTimeAsync(5 * EVERY_MS);
    expect(asked).toBe(2);
  });

  it('has nothing to look at where readings are in files', async () => {
    const watch = new StoreWatch({ telemetry: {}, log });
    watch.start();
    expect(vi.getTimerCount()).toBe(0);
  });
});
