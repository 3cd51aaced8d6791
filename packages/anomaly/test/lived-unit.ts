import type { ChannelValues, Reading } from '@lineside/readings';
import { HOUR_MS, MINUTE_MS, ObservedUnit, outdoors, START_MS } from './observed-unit.ts';

/** A small change of each reading, the same in every run: no live channel repeats itself. */
function wobble(atMs: number): number {
  return (((atMs / MINUTE_MS) * 7919) % 101) / 101 - 0.5;
}

/** Warm afternoons, cool mornings, and the humidity that the same vapour then reads. */
function livedAir(atMs: number): { readonly rh: number; readonly t: number } {
  const t = 14 + 5 * Math.sin((2 * Math.PI * (atMs - START_MS)) / (24 * HOUR_MS));
  return { rh: 55 - 2.8 * (t - 14) + 0.4 * wobble(atMs), t: t + 0.1 * wobble(atMs + HOUR_MS) };
}

/** Twenty minutes of every forty the compressor runs. */
function livedLoad(atMs: number): ChannelValues {
  const w = wobble(atMs);
  return isRunning(atMs)
    ? { ia: 17 + 0.1 * w, ib: 17.2 - 0.1 * w, ic: 16.9 + 0.05 * w, leak: (2 + 0.1 * w) / 1000 }
    : { ia: 0.42 + 0.01 * w, ib: 0.41, ic: 0.01, leak: (0.6 + 0.1 * w) / 1000 };
}

export function isRunning(atMs: number): boolean {
  return (atMs / MINUTE_MS) % 40 >= 20;
}

/** Dry weather whose vapour is that of the compartment. */
function livedWeather(atMs: number): Reading {
  const reportMs = Math.floor(atMs / (10 * MINUTE_MS)) * 10 * MINUTE_MS - 10 * MINUTE_MS;
  return outdoors(reportMs, { rh: 60, t: 12.5, rain: 0 });
}

/** Lives for so many hours, a reading each two minutes; `bent` is what its sensors make of it. */
export function live(
  unit: ObservedUnit,
  hours: number,
  bent: (channels: ChannelValues, atMs: number) => ChannelValues = (channels) => channels,
): void {
  const endMs = unit.atMs + hours * HOUR_MS;
  for (; unit.atMs < endMs; unit.atMs += 2 * MINUTE_MS) {
    const { atMs } = unit;
    unit.read(bent({ ...livedAir(atMs), ...livedLoad(atMs) }, atMs));
  }
}

export function livedUnit(hours: number): ObservedUnit {
  const unit = new ObservedUnit();
  unit.weatherAt = livedWeather;
  live(unit, hours);
  return unit;
}
