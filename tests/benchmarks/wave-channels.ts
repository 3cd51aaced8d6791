import type { Reading } from '@lineside/readings';

/** The nine channels of a healthy unit that draws its amps and breathes, a wave over the minutes. */
export function waveChannels(minute: number, shift = 0): Reading['channels'] {
  const wave = Math.sin(minute / 229 + shift);
  const round = (value: number): number => Math.round(value * 1e5) / 1e5;
  return {
    rh: round(60 + 20 * wave),
    t: round(12 + 9 * wave),
    tp: round(11 + 8 * wave),
    leak: round(0.0012 + 0.0003 * wave),
    leakmax: round(0.0016 + 0.0003 * wave),
    ia: round(17 + wave),
    ib: round(17.1 + wave),
    ic: round(16.9 + wave),
    batt: 3.6,
  };
}
