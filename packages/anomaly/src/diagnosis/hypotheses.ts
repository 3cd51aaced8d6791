import type { Cause, FindingKind } from '../vocabulary.ts';

/** A cause that may lie behind a kind of finding, before any mark. */
export interface Hypothesis {
  readonly cause: Cause;
  /** Against the other causes of the kind; common practice, no source. */
  readonly odds: number;
  /** What speaks for it where no mark does; null: nothing. */
  readonly words: string | null;
}

function cause(name: Cause, odds: number, words: string | null = null): Hypothesis {
  return { cause: name, odds, words };
}

export const HYPOTHESES: Readonly<Record<FindingKind, readonly Hypothesis[]>> = {
  leakage: [
    cause('line-side-track-to-ground', 1),
    cause('load-insulation', 0.8),
    cause('sensor-fault', 0.1),
    cause('unknown', 0.7),
  ],
  moisture: [
    cause('water-ingress', 1),
    cause('condensation', 0.5, 'dew or frost that dries off makes an excess for a while'),
    cause('humid-weather', 0.3),
    cause('line-side-track-to-ground', 0.15),
    cause('unknown', 0.5, 'air of the building up a conduit, or a sensor that drifts'),
  ],
  'phase-track': [
    cause('pole-to-pole-track', 1),
    cause('line-side-track-to-ground', 0.2),
    cause('unknown', 1.5, 'a heater that runs on damp nights only would look like it'),
  ],
  unbalance: [
    cause('worn-pole-or-connection', 1, 'one phase carries less than the others'),
    cause('supply-voltage', 0.7),
    cause('sensor-fault', 0.1),
    cause('unknown', 0.5),
  ],
  'phase-loss': [
    cause('open-fuse', 1),
    cause('worn-pole-or-connection', 0.25),
    cause('utility-outage', 0.2, 'a phase may be missing from the supply'),
    cause('sensor-fault', 0.15, 'the current sensor of that phase may have failed'),
    cause('unknown', 0.05),
  ],
  'supply-loss': [
    cause('disconnect-open-or-fuses-open', 1, 'no opening of the disconnect is recorded'),
    cause('open-fuse', 0.4),
    cause('utility-outage', 0.5, 'an outage looks the same to one unit'),
    cause('unknown', 0.1),
  ],
  'repeat-fuse': [
    cause('line-side-track-to-ground', 1),
    cause('pole-to-pole-track', 0.5),
    cause('load-insulation', 0.6),
    cause('unknown', 1.5, 'no root cause is recorded since the first of them'),
  ],
  sensor: [cause('sensor-fault', 2), cause('unknown', 1)],
  silent: [
    cause('node-offline', 1, 'no message came in: the node, its supply or its connection'),
    cause('disconnect-open-or-fuses-open', 0.4),
    cause('utility-outage', 0.4, 'an outage may silence node and gateway'),
  ],
};
