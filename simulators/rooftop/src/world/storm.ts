import type { StormStage } from './climate.ts';

/** A storm's hold on the weather: 0 none, 1 all of it. */
export interface StormShare {
  readonly share: number;
  readonly celsius: number;
  readonly dewPointDepressionKelvin: number;
  readonly windMetresPerSecond: number;
  readonly windFromDegrees: number;
  /** Already multiplied by the share. */
  readonly wetMmPerHour: number;
}

/** A stage comes and goes over this time, overlapping its neighbour. */
const BLEND_MS = 90 * 60_000;

const NO_STORM: StormShare = {
  share: 0,
  celsius: 0,
  dewPointDepressionKelvin: 0,
  windMetresPerSecond: 0,
  windFromDegrees: 0,
  wetMmPerHour: 0,
};

/** The stages at a moment, blended by how near their beginnings and ends are. */
export function stormAt(stages: readonly StormStage[], atMs: number): StormShare {
  let total = 0;
  let celsius = 0;
  let depression = 0;
  let wind = 0;
  let from = 0;
  let wet = 0;
  for (const stage of stages) {
    const weight = stageWeight(stage, atMs);
    if (weight === 0) continue;
    total += weight;
    celsius += weight * stage.celsius;
    depression += weight * stage.dewPointDepressionKelvin;
    wind += weight * stage.windMetresPerSecond;
    from += weight * stage.windFromDegrees;
    wet += weight * stage.wetMmPerHour;
  }
  if (total === 0) return NO_STORM;
  const share = Math.min(1, total);
  return {
    share,
    celsius: celsius / total,
    dewPointDepressionKelvin: depression / total,
    windMetresPerSecond: wind / total,
    windFromDegrees: from / total,
    wetMmPerHour: (wet / total) * share,
  };
}

function stageWeight(stage: StormStage, atMs: number): number {
  const inside = Math.min(atMs - stage.fromMs, stage.toMs - atMs) / BLEND_MS + 0.5;
  return Math.min(1, Math.max(0, inside));
}
