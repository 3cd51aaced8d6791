/** What the one-line drawing of a compartment shows, decided apart from how it is drawn. */
import type { Alarm, Condition, Priority } from '../api/types.ts';
import { isStanding } from '../order/urgency.ts';

/** Below this margin the plate is nearly at the dew point. The margin is good to 1 K at best. */
const NEARLY_WET_KELVIN = 2;

export interface CompartmentPicture {
  readonly air: 'dry' | 'nearly-wet' | 'wet' | 'unknown';
  readonly contactor: 'closed' | 'open' | 'unknown';
  readonly fuse: 'whole' | 'open';
  /** Where current leaves its conductor, and how pressing that is; null without such an alarm. */
  readonly track: {
    readonly place: 'line-side' | 'pole-to-pole' | 'load' | 'unlocated';
    readonly priority: Priority;
  } | null;
}

const TRACK_PLACES: Readonly<Record<string, 'line-side' | 'pole-to-pole' | 'load'>> = {
  'line-side-track-to-ground': 'line-side',
  'pole-to-pole-track': 'pole-to-pole',
  'load-insulation': 'load',
};

const OPEN_CIRCUIT = new Set(['open-fuse', 'disconnect-open-or-fuses-open']);
const TRACK_KINDS = new Set(['leakage', 'phase-track']);

function airOf(condition: Condition | null): CompartmentPicture['air'] {
  if (condition === null) return 'unknown';
  if (condition.wetting !== null) return 'wet';
  if (condition.dewPointMarginKelvin === null) return 'unknown';
  return condition.dewPointMarginKelvin < NEARLY_WET_KELVIN ? 'nearly-wet' : 'dry';
}

function contactorOf(condition: Condition | null): CompartmentPicture['contactor'] {
  if (condition?.operatingState === 'running') return 'closed';
  return condition?.operatingState === 'idle' ? 'open' : 'unknown';
}

/** The picture of one unit from its condition and its standing alarms. */
export function compartmentPicture(
  condition: Condition | null,
  alarms: readonly Alarm[],
): CompartmentPicture {
  const standing = alarms.filter(isStanding);
  const leaking = standing.find(({ kind }) => TRACK_KINDS.has(kind));
  const place = TRACK_PLACES[leaking?.causes[0]?.cause ?? ''] ?? 'unlocated';
  const opened = standing.some(({ causes }) => OPEN_CIRCUIT.has(causes[0]?.cause ?? ''));
  return {
    air: airOf(condition),
    contactor: contactorOf(condition),
    fuse: opened || condition?.operatingState === 'dead' ? 'open' : 'whole',
    track: leaking === undefined ? null : { place, priority: leaking.priority },
  };
}

const AIR_WORDS = {
  dry: 'compartment dry',
  'nearly-wet': 'compartment nearly at its dew point',
  wet: 'compartment wet',
  unknown: 'moisture not known',
};

const CONTACTOR_WORDS = {
  closed: 'running, contactor closed',
  open: 'idle, contactor open, line side live',
  unknown: 'contactor state not known',
};

const PLACE_WORDS = {
  'line-side': 'current leaks to ground on the line side',
  'pole-to-pole': 'current leaks from pole to pole on the line side',
  load: 'current leaks in the load',
  unlocated: 'current leaks, place not determined',
};

/** The same picture as a sentence, for those who do not see it. */
export function pictureWords({ air, contactor, fuse, track }: CompartmentPicture): string {
  const parts = [
    AIR_WORDS[air],
    fuse === 'open' ? 'no current past fuses and disconnect' : CONTACTOR_WORDS[contactor],
    ...(track === null ? [] : [PLACE_WORDS[track.place]]),
  ];
  const words = parts.join('; ');
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
}
