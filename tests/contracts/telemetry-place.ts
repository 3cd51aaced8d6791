import type { ChannelValues, Reading } from '@lineside/readings';
import { StoreError, type TelemetryStore } from '@lineside/storage';
import { expect } from 'vitest';

/** An empty place with a store in it, made by an adapter for its contract tests. */
export interface TelemetryPlace {
  readonly store: TelemetryStore;
  /** A second connection to the same data, beside the first. */
  another(): Promise<TelemetryStore>;
  /** Closes the first store and opens its data again. */
  reopen(): Promise<TelemetryStore>;
  /** A store on what `backup` wrote into `folder`, in an empty place of its own. */
  restored(folder: string): Promise<TelemetryStore>;
  /** A folder that does not exist yet. */
  freshFolder(): string;
  /** Closes all stores that this place gave out and removes its data. */
  dispose(): Promise<void>;
}

export type MakePlace = () => Promise<TelemetryPlace>;

export const MINUTE_MS = 60_000;
export const HOUR_MS: number = 60 * MINUTE_MS;
export const DAY_MS: number = 24 * HOUR_MS;
export const WEEK_MS: number = 7 * DAY_MS;

/** A Monday, 00:00 UTC. */
export const MONDAY_MS: number = Date.UTC(2026, 0, 5);

export const SITE = 'harbour-mall';
export const UNIT = 'rtu-01';

export function reading(atMs: number, channels: ChannelValues, unit: string = UNIT): Reading {
  return { site: SITE, unit, atMs, channels };
}

/** A reading a minute with a leakage that climbs by 1 uA a minute. */
export function minutes(fromMs: number, count: number, unit: string = UNIT): Reading[] {
  return Array.from({ length: count }, (_, minute) =>
    reading(fromMs + minute * MINUTE_MS, { leak: (1_000 + minute) / 1e6, rh: 60 }, unit),
  );
}

export function span(fromMs: number, toMs: number): { fromMs: number; toMs: number } {
  return { fromMs, toMs };
}

/** Every reading of one unit. */
export function all(store: TelemetryStore, unit: string = UNIT): Promise<readonly Reading[]> {
  return store.readings({ site: SITE, unit, ...span(0, Date.UTC(9999, 0)), limit: 1_000_000 });
}

/** What the promise rejects with, which must be a `StoreError`. */
export async function failureOf(promise: Promise<unknown>): Promise<StoreError> {
  const error: unknown = await promise.then(
    () => null,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(StoreError);
  return error as StoreError;
}
