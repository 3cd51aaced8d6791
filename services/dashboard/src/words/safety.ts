/** Cautions of the trade, short; shown wherever somebody is sent to a unit. */

export const NO_PROOF = 'No reading of this tool proves absence of voltage.';

export const DEFERENCE: string =
  'Lineside advises. It replaces no protective device, local code, manufacturer’s ' +
  'instruction or licensed person’s judgement.';

export const CAUTIONS: readonly string[] = [
  'Lock out upstream of the part to be touched. The unit’s disconnect leaves its own line lugs, ' +
    'the feed and remote fuses live. Look for a second feed.',
  'Prove the meter, test phase to phase and phase to ground, prove the meter again. Wait out ' +
    'capacitors and drives.',
  'Inspect the line side and measure insulation before re-energising. Replacing fuses and trying ' +
    'again, over and over, is prohibited (OSHA 29 CFR 1910.334(b)(2)). Close the upstream ' +
    'disconnect with the unit’s disconnect open.',
  'Before an insulation test isolate transformer, arresters, filters, drives, electronics and the ' +
    'sensor node. Never test a compressor under vacuum.',
  'Check a new fuse before fitting it. Never a larger one or another class.',
  'Lightning, high wind or ice: nobody goes onto the roof. Make it safe from the upstream ' +
    'disconnect.',
  'Arc-flash and fall protection as the site requires.',
];
