import { saturationOverWaterPascals, unbalancePercent } from '@lineside/physics';
import type { ChannelValues, Reading } from '@lineside/readings';

/** The figures that rivals chart, of one reading; null where its channels are missing. */
export interface Features {
  readonly atMs: number;
  /** Whether a load runs; null without phase currents. */
  readonly running: boolean | null;
  readonly largestAmps: number | null;
  /** Smallest over largest phase current, 0 to 1. */
  readonly weakestShare: number | null;
  readonly leakageMilliamps: number | null;
  /** NEMA MG 1 unbalance of the phase currents while running. */
  readonly unbalancePercent: number | null;
  /** Vapour pressure inside minus outside. */
  readonly excessPascals: number | null;
  readonly humidityPercent: number | null;
  readonly celsius: number | null;
}

/** Above the control transformer and crankcase heaters (common practice, no source). */
export const RUNNING_AMPS = 1.5;

export function featuresOf(
  atMs: number,
  channels: ChannelValues,
  report: Reading | null,
): Features {
  const { ia, ib, ic, leak, rh, t } = channels;
  const all = ia !== undefined && ib !== undefined && ic !== undefined;
  const largestAmps = all ? Math.max(ia, ib, ic) : null;
  const running = largestAmps === null ? null : largestAmps >= RUNNING_AMPS;
  const weakestShare =
    all && largestAmps !== null && largestAmps > 0 ? Math.min(ia, ib, ic) / largestAmps : null;
  return {
    atMs,
    running,
    largestAmps,
    weakestShare,
    leakageMilliamps: leak === undefined ? null : leak * 1000,
    unbalancePercent: all && running === true ? unbalancePercent(ia, ib, ic) : null,
    excessPascals: excess(channels, report?.channels ?? {}),
    humidityPercent: rh ?? null,
    celsius: t ?? null,
  };
}

function excess(inside: ChannelValues, outside: ChannelValues): number | null {
  const within = vapourPascals(inside);
  const without = vapourPascals(outside);
  return within === null || without === null ? null : within - without;
}

function vapourPascals({ rh, t }: ChannelValues): number | null {
  // The formula's range; a sensor at its limit tells nothing.
  if (rh === undefined || t === undefined || t < -100 || t >= 100) return null;
  return (rh / 100) * saturationOverWaterPascals(t);
}
