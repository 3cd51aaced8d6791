import { diagnose, marksText, type Seen } from '../diagnosis/diagnose.ts';
import type { Evidence, FindingChange } from '../vocabulary.ts';
import type { AirSensorFault } from './sensor-humidity.ts';
import type { LeakageSensorFault } from './sensor-leakage.ts';
import type { PhaseSensorFault } from './sensor-phases.ts';

export type SensorChannel = 'humidity' | 'leakage' | 'phase-a' | 'phase-b' | 'phase-c';
export type SensorFault =
  | AirSensorFault
  | 'humidity-shifted'
  | LeakageSensorFault
  | 'leakage-drifts'
  | 'leakage-jumped'
  | PhaseSensorFault;

const WORDS: { readonly [fault in SensorFault]: string } = {
  'humidity-flat': 'Humidity sensor stuck: the same reading for a day while the air warmed',
  'humidity-pinned': 'Humidity sensor stuck near 100 % for days while the weather was dry',
  'humidity-jumps': 'Humidity sensor jumps to and fro, and nothing else in the air moves',
  'humidity-shifted': 'Humidity sensor off since a step that nothing else in the air answers',
  'temperature-jumps': 'Air temperature sensor jumps to and fro, and nothing else moves',
  'temperature-far-off': 'Air temperature sensor is off: far from its back-plate for hours',
  'leakage-impossible': 'Leakage sensor reads more than any phase carries',
  'leakage-pegged': 'Leakage sensor jumped to one value and does not move from it',
  'leakage-drifts': 'Leakage sensor drifts: more each day at rest, dry and humid alike',
  'leakage-jumped': 'Leakage sensor reads more since one moment, the same under every load',
  'leakage-flat': 'Leakage sensor stuck: the same reading while the load came and went',
  'leakage-zero': 'Leakage sensor reads nothing where the running unit used to leak',
  'phase-zero': 'reads nothing while the other two carry on',
  'phase-low': 'reads low by a fixed ratio since one moment',
};

/** Told from what the other channels say, less surely than what no channel may read. */
const SHIFTS: ReadonlySet<SensorFault> = new Set<SensorFault>([
  'phase-low',
  'humidity-shifted',
  'leakage-jumped',
]);

/** What a technician reads of the fault of a channel. */
function words(channel: SensorChannel, fault: SensorFault): string {
  if (!channel.startsWith('phase-')) return WORDS[fault];
  return `Current sensor of phase ${channel.slice(-1).toUpperCase()} ${WORDS[fault]}`;
}

/** `others`: channels that are held for faulty as well. */
export function sensorFinding(
  atMs: number,
  channel: SensorChannel,
  fault: SensorFault,
  others: readonly SensorChannel[],
  figures: Evidence,
): FindingChange {
  const isShift = SHIFTS.has(fault);
  const mark = isShift ? 'against-the-other-channels' : 'against-physics';
  const marks: readonly Seen[] = [{ mark, words: BECAUSE[fault] }];
  return {
    change: 'opened',
    kind: 'sensor',
    priority: 'routine',
    atMs,
    headline: words(channel, fault),
    evidence: {
      channel,
      fault,
      otherSuspectChannels: others.length === 0 ? null : others.join(' '),
      ...figures,
      marks: marksText(marks),
    },
    causes: diagnose('sensor', marks),
  };
}

const BECAUSE: { readonly [fault in SensorFault]: string } = {
  'humidity-flat': 'the same vapour in warmer or cooler air reads otherwise',
  'humidity-pinned': 'air that warms by that much in dry weather does not stay saturated',
  'humidity-jumps': 'air behind a closed door does not change that fast',
  'humidity-shifted': 'neither temperature, plate nor the air outside moved with it',
  'temperature-jumps': 'humidity and plate would have answered such a change of the air',
  'temperature-far-off': 'a back-plate follows its air within hours',
  'leakage-impossible': 'what flows to ground flows through a phase of the unit',
  'leakage-pegged': 'what really leaks moves with the line voltage, and this channel used to',
  'leakage-drifts': 'a track leaks several times as much humid as dry, a load nothing at rest',
  'leakage-jumped': 'currents add as vectors; only an offset adds the same number to all',
  'leakage-flat': 'a live channel moved at most readings before',
  'leakage-zero': 'load and filter currents of a running unit do not vanish in one go',
  'phase-zero': 'a motor on two phases draws more on them or stops',
  'phase-low': 'the other two did not answer, and every load and rest show the same',
};
