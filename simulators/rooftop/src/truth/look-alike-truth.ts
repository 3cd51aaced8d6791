import type { UnitScript } from '../world/scenario.ts';
import type { Surroundings } from '../world/surroundings.ts';
import type { Spells } from './spells.ts';
import type { LookAlikeTruth } from './truth.ts';

/** All that looks like a fault of a unit and is none, in order of time, cut at the run's end. */
export function lookAlikeTruth(
  script: UnitScript,
  surroundings: Surroundings,
  neighbourGrounds: Spells,
  startMs: number,
  endMs: number,
): LookAlikeTruth[] {
  const { buildingAir, snowInside, washings } = surroundings;
  const scripted = (script.lookAlikes ?? [])
    // The surroundings have the washings of the script as well.
    .filter(({ kind }) => kind !== 'coil-washing')
    .map(({ kind, fromMs, toMs }) => ({ lookAlike: kind, fromMs, toMs }));
  const all: LookAlikeTruth[] = [...scripted, ...neighbourGrounds.as('neighbour-ground')];
  for (const { fromMs, toMs } of washings) all.push({ lookAlike: 'coil-washing', fromMs, toMs });
  if (buildingAir !== null) all.push({ lookAlike: 'building-air', fromMs: startMs, toMs: endMs });
  if (snowInside !== null) {
    all.push({ lookAlike: 'frozen-snow', fromMs: snowInside.atMs, toMs: endMs });
  }
  return all
    .filter(({ fromMs }) => fromMs <= endMs)
    .map((one) => ({ ...one, toMs: Math.min(one.toMs, endMs) }))
    .sort((left, right) => left.fromMs - right.fromMs);
}
