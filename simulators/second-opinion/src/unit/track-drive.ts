import { type GroundingSystem, trackVolts } from '@lineside/physics';

/** What drives a track, as a share of 277 V; on floating systems only capacitance carries it on. */
export function trackDrive(
  grounding: GroundingSystem,
  name: 'a' | 'b' | 'c',
  volts: number,
): number {
  const floats = grounding === 'ungrounded' ? 0.3 : grounding === 'high-resistance' ? 0.7 : 1;
  return (floats * trackVolts(grounding, name, volts)) / 277;
}
