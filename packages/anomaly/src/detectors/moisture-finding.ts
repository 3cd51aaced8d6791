import type { CauseEstimate, FindingChange, WettingSource } from '../vocabulary.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import type { LeakageLevelSlice } from './leakage-level.ts';
import type { WetnessSlice } from './wetness.ts';
import { wettingSource, wettingSourceProbability } from './wetting-episode.ts';

/** What a moisture finding is raised for. */
type MoistureReason = 'ingress' | 'beyond-weather' | 'response';

/** Words, numbers and causes of a moisture finding; the probabilities are judgement. */
export function moistureFinding(
  change: 'opened' | 'escalated',
  reason: MoistureReason,
  atMs: number,
  wetness: WetnessSlice,
  level: LeakageLevelSlice,
  dryMilliamps: number | null,
  atRest: boolean,
): FindingChange {
  const leakage = level.milliamps;
  const { open } = wetness;
  const source: WettingSource = open === null ? 'humid-weather' : wettingSource(open);
  const sourceProbability = open === null ? 0.5 : wettingSourceProbability(open);
  return {
    change,
    kind: 'moisture',
    priority: reason === 'response' ? 'urgent' : 'routine',
    atMs,
    headline: headline(reason, leakage, dryMilliamps),
    evidence: {
      vapourPressureExcessPascals: evidenceNumber(wetness.excessPascals),
      usualVapourPressureExcessPascals: evidenceNumber(wetness.usualExcessPascals),
      relativeHumidityPercent: evidenceNumber(wetness.humidityPercent),
      dewPointMarginKelvin: evidenceNumber(wetness.marginKelvin),
      marginInferredFromAir: wetness.marginInferred,
      leakageMilliamps: evidenceNumber(leakage),
      dryLeakageMilliamps: evidenceNumber(dryMilliamps),
      sourceProbability: evidenceNumber(sourceProbability),
      rainOrMeltWithinLastDay: wetness.waterIsAbout,
      outdoorReference: wetness.excessPascals !== null,
    },
    causes: causesOf(reason, source, sourceProbability, atRest),
  };
}

function headline(
  reason: MoistureReason,
  leakage: number | null,
  dryMilliamps: number | null,
): string {
  if (reason === 'ingress') {
    return 'Water got in: air inside stays wetter than outside after rain or melt';
  }
  if (reason === 'beyond-weather') return 'Wet inside for long while the air outside is dry';
  return (
    `Wet inside and leakage answers: ${shortNumber(leakage ?? 0)} mA, ` +
    `${shortNumber(dryMilliamps ?? 0)} mA when dry`
  );
}

function causesOf(
  reason: MoistureReason,
  source: WettingSource,
  sourceProbability: number,
  atRest: boolean,
): readonly CauseEstimate[] {
  if (reason === 'response') return respondingCauses(source, sourceProbability, atRest);
  return reason === 'ingress' ? INGRESS_CAUSES : BEYOND_WEATHER_CAUSES;
}

const BEYOND_WEATHER_CAUSES: readonly CauseEstimate[] = [
  {
    cause: 'water-ingress',
    probability: 0.5,
    because: ['a day of wetness with more vapour inside than outside, in dry air'],
  },
  {
    cause: 'unknown',
    probability: 0.3,
    because: ['humid air of the building may come up a conduit; a sensor may drift'],
  },
  { cause: 'condensation', probability: 0.2, because: ['such air condenses on a cold plate'] },
];

const INGRESS_CAUSES: readonly CauseEstimate[] = [
  {
    cause: 'water-ingress',
    probability: 0.8,
    because: ['more vapour inside than outside for two hours, beyond the error of both sensors'],
  },
  {
    cause: 'condensation',
    probability: 0.1,
    because: ['dew or frost that dries off makes an excess for a while'],
  },
  { cause: 'unknown', probability: 0.1, because: ['a humidity sensor may stick after a wetting'] },
];

/**
 * At rest only the line side can leak; under load the load may answer the water as well. Where
 * water got in, that comes first: a repair that leaves the opening does not last.
 */
function respondingCauses(
  source: WettingSource,
  sourceProbability: number,
  atRest: boolean,
): readonly CauseEstimate[] {
  const trackFirst = atRest && source !== 'water-ingress';
  // What the source is in doubt goes to the unknown: leakage answers some water all the same.
  const wettingShare = trackFirst ? 0.4 : 0.55;
  const waterShare = Math.max(round(wettingShare * sourceProbability), trackFirst ? 0 : 0.42);
  const trackShare = trackFirst ? 0.55 : 0.4;
  const track: CauseEstimate = {
    cause: 'line-side-track-to-ground',
    probability: trackShare,
    because: [
      'leakage rose at least threefold with the wetting',
      ...(atRest ? ['with all contactors open'] : []),
    ],
  };
  const water: CauseEstimate = {
    cause: source,
    probability: waterShare,
    because: ['the compartment is wet'],
  };
  const left = round(1 - trackShare - waterShare);
  const unknown: CauseEstimate = { cause: 'unknown', probability: left, because: [] };
  return trackFirst ? [track, water, unknown] : [water, track, unknown];
}

function round(probability: number): number {
  return Math.round(probability * 100) / 100;
}
