import { diagnose, marksText, type Seen } from '../diagnosis/diagnose.ts';
import type { MarkName } from '../diagnosis/evidence-table.ts';
import type { RaisedFinding, WettingSource } from '../vocabulary.ts';
import { evidenceNumber, shortNumber } from './figures.ts';
import type { MoistureContext } from './moisture.ts';
import type { WetnessSlice } from './wetness.ts';
import { wettingSource, wettingSourceProbability } from './wetting-episode.ts';

/** What a moisture finding is raised for. */
type MoistureReason = 'ingress' | 'beyond-weather' | 'response';

/** Words, numbers and causes of a moisture finding. */
export function moistureFinding(
  change: 'opened' | 'escalated',
  reason: MoistureReason,
  atMs: number,
  { wetness, level, operating, fuses }: MoistureContext,
  dryMilliamps: number | null,
): RaisedFinding {
  const leakage = level.milliamps;
  const { open } = wetness;
  const source: WettingSource = open === null ? 'humid-weather' : wettingSource(open);
  const sourceProbability = open === null ? 0.5 : wettingSourceProbability(open);
  const marks = [
    ...marksOf(reason, source, sourceProbability, operating.state === 'idle', wetness),
    ...(fuses === null ? [] : [fuses]),
  ];
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
      marks: marksText(marks),
    },
    causes: diagnose('moisture', marks),
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

function marksOf(
  reason: MoistureReason,
  source: WettingSource,
  sourceProbability: number,
  atRest: boolean,
  wetness: WetnessSlice,
): readonly Seen[] {
  const seen: Seen[] = [WETTING_MARKS[source]];
  if (sourceProbability < SOURCE_UNCLEAR_BELOW) seen.push('wetting-source-unclear');
  if (reason === 'ingress') seen.push('vapour-excess-after-rain');
  if (reason === 'beyond-weather') seen.push('vapour-excess-in-dry-weather');
  if (wetness.waterIsAbout) seen.push('rain-or-melt-lately');
  if (wetness.excessPascals === null) seen.push('no-outdoor-reference');
  if (reason !== 'response') return seen;
  // At rest only the line side can leak; under load the load may answer the water as well.
  return atRest
    ? [...seen, 'leakage-answers-the-wetting', 'answers-with-contactors-open']
    : [...seen, 'leakage-answers-the-wetting'];
}

const SOURCE_UNCLEAR_BELOW = 0.6;

const WETTING_MARKS: { readonly [source in WettingSource]: MarkName } = {
  'water-ingress': 'wetting-by-water',
  condensation: 'wetting-by-dew',
  'humid-weather': 'wetting-by-weather',
};
