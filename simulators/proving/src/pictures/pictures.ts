import { mkdirSync, writeFileSync } from 'node:fs';
import { HOUSE } from '../running/judgings.ts';
import type { CaseOutcome } from '../running/run-case.ts';
import { type Chart, drawChart } from './chart.ts';
import { growthPictures } from './leakage-pictures.ts';
import { phasePicture, reliabilityPicture, sweepPicture, vapourPicture } from './other-pictures.ts';

/** Where the pictures of the method's page stand. */
export const PICTURES_FOLDER: URL = new URL(
  '../../../../packages/anomaly/pictures/',
  import.meta.url,
);

/** Pictures that need nothing but the simulated world, by file name. */
export function worldPictures(): Readonly<Record<string, Chart>> {
  return { ...growthPictures(), 'vapour-excess': vapourPicture(), phases: phasePicture() };
}

/** Pictures of how good the judgements are, from the outcomes of a run. */
export function provedPictures(outcomes: readonly CaseOutcome[]): Readonly<Record<string, Chart>> {
  const swept = sweepPicture(outcomes, HOUSE);
  return {
    reliability: reliabilityPicture(outcomes, HOUSE),
    ...(swept === null ? {} : { 'rivals-swept': swept }),
  };
}

/** Writes charts as SVG files; gives their names and sizes in bytes. */
export function writePictures(charts: Readonly<Record<string, Chart>>, into: URL): string[] {
  mkdirSync(into, { recursive: true });
  return Object.entries(charts).map(([name, chart]) => {
    const svg = drawChart(chart);
    writeFileSync(new URL(`${name}.svg`, into), svg);
    return `${name}.svg ${svg.length} bytes`;
  });
}
