import type { ChannelName, ChannelValues } from '@lineside/readings';
import { CURRENT_NOISE_AMPS, type NodeFit, VOLTAGE_NOISE_VOLTS } from '@lineside/rooftop';

/** Channels of currents and voltages, with the resolution at which a node sends them. */
const LEAK_CHANNELS = ['leak', 'leakr', 'leakmax'] as const;
const AMPS_CHANNELS = ['ia', 'ib', 'ic'] as const;
const VOLT_CHANNELS = ['vab', 'vbc', 'vca', 'van', 'vbn', 'vcn'] as const;
const LEAK_STEP_AMPS = 1e-5;
const AMPS_STEP = 0.01;
const VOLTS_STEP = 0.1;
/** A difference of so many deviations is far above one step of the resolution. */
const PLAIN_DEVIATIONS = 6;

interface Sensed {
  readonly channel: ChannelName;
  readonly deviation: number;
}

/**
 * How strongly two worlds differ in what a node sends, where both have the same noise: the square
 * of the difference over the noise, summed over all currents and voltages.
 *
 * The noise of both cancels, and rounding is left: it would make a difference of a tenth of a step
 * one of a whole step in every tenth reading, whose square is too large by ten. Two readings round
 * apart from each other, so the product of this difference and the one before it, of the same
 * running loads, is right on average. A difference far above the step is squared as it is.
 */
export class SignalPower {
  private readonly sensed: readonly Sensed[];
  private readonly before = new Map<number, Float64Array>();

  /** @param everything false: currents and voltages of the phases alone, no leakage. */
  constructor(fit: NodeFit, everything: boolean) {
    const of = (channels: readonly ChannelName[], noise: number, step: number): Sensed[] =>
      channels.map((channel) => ({ channel, deviation: Math.sqrt(noise ** 2 + step ** 2 / 12) }));
    this.sensed = [
      ...(everything ? of(LEAK_CHANNELS, fit.leakNoiseMilliamps / 1000, LEAK_STEP_AMPS) : []),
      ...of(AMPS_CHANNELS, CURRENT_NOISE_AMPS, AMPS_STEP),
      ...of(VOLT_CHANNELS, VOLTAGE_NOISE_VOLTS, VOLTS_STEP),
    ];
  }

  /** @param stage which loads run: signals of different stages are not multiplied. */
  of(sent: ChannelValues, without: ChannelValues, stage: number): number {
    let before = this.before.get(stage);
    if (before === undefined) {
      before = new Float64Array(this.sensed.length);
      this.before.set(stage, before);
    }
    let power = 0;
    for (let index = 0; index < this.sensed.length; index += 1) {
      const sensed = this.sensed[index];
      if (sensed === undefined) continue;
      const value = sent[sensed.channel];
      const other = without[sensed.channel];
      if (value === undefined || other === undefined) continue;
      const now = (value - other) / sensed.deviation;
      power += Math.abs(now) >= PLAIN_DEVIATIONS ? now * now : now * (before[index] ?? 0);
      before[index] = now;
    }
    return power;
  }
}
