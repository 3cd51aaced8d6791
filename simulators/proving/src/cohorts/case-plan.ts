import { applyFleet, type Fleet, type Grounding, parseFleetFile, toFleet } from '@lineside/fleet';
import {
  CLIMATES,
  type ClimateName,
  healthyScript,
  type RandomStream,
  type Scenario,
  type SharedTransformer,
  type SiteEvent,
  type UnitScript,
} from '@lineside/rooftop';
import { drawn, oneOf, type Ranges } from './ranges.ts';
import { withWashingsInTime } from './washing-time.ts';

/** One simulated run of a few units, all that is needed to repeat it. */
export interface CasePlan {
  readonly cohort: string;
  readonly seed: number;
  readonly fleet: Fleet;
  readonly scenario: Scenario;
  readonly endMs: number;
  /** Between two readings of a node, ms. */
  readonly everyMs: number;
  /** Whether a station on the roof reports the weather. */
  readonly station: boolean;
}

/** What a cohort says about a case; the rest is drawn. */
export interface CaseIdea {
  /** The first unit's script, without place. */
  readonly script: Partial<Omit<UnitScript, 'site' | 'unit'>>;
  readonly climate?: ClimateName;
  readonly grounding?: Grounding;
  /** How many units the site has; the others are healthy. Default 1. */
  readonly units?: number;
  /** Between two readings, ms; a minute when not given. */
  readonly everyMs?: number;
  /** False: no weather is reported. */
  readonly station?: boolean;
  /** Units with EC motors, which are drives. */
  readonly drive?: boolean;
  /** Day of the year on which the run ends; drawn when not given. */
  readonly seasonDay?: number;
  readonly siteEvents?: readonly SiteEvent[];
  readonly groundsElsewhere?: SharedTransformer['groundsElsewhere'];
}

/** What a cohort draws a case from. */
export interface CaseDraw {
  readonly random: RandomStream;
  readonly ranges: Ranges;
  readonly startMs: number;
  readonly endMs: number;
}

export const CASE_SITE = 'roof';
/** The calendar plays no part; the season is drawn. */
const START_MS: number = Date.UTC(2026, 0, 5);
/** How often nodes of the trade report. */
const READING_EVERY_MS = 60_000;
const WEEK_MS = 7 * 86_400_000;

/** Nominal volts that go with a grounding, in North America. */
const VOLTS: Readonly<Record<Grounding, readonly number[]>> = {
  'solid-wye': [208, 480, 600],
  'corner-grounded-delta': [240, 480],
  'high-leg-delta': [240],
  ungrounded: [480],
  'high-resistance': [480, 600],
};

/** Start and end of a run of so many weeks. */
export function runSpan(weeks: number): { readonly startMs: number; readonly endMs: number } {
  return { startMs: START_MS, endMs: START_MS + weeks * WEEK_MS };
}

/** A moment of the run. */
export function momentMs({ startMs, endMs }: CaseDraw, share: number): number {
  const minuteMs = 60_000;
  return Math.round((startMs + share * (endMs - startMs)) / minuteMs) * minuteMs;
}

export function planCase(cohort: string, seed: number, idea: CaseIdea, draw: CaseDraw): CasePlan {
  const { random, ranges, startMs, endMs } = draw;
  const names = Array.from({ length: idea.units ?? 1 }, (_, index) => `rtu-0${index + 1}`);
  const latitude = drawn(random, ranges.unit.latitudeDegrees);
  const grounding = idea.grounding ?? 'solid-wye';
  const units = names.map((id) => unitDocument(id, grounding, idea.drive ?? false, draw));
  const document = { sites: [{ id: CASE_SITE, latitude, longitude: -75, units }] };
  const fleet = toFleet(applyFleet(null, parseFleetFile(JSON.stringify(document), cohort)));
  const climate = idea.climate ?? oneOf(random, ALL_CLIMATES);
  const loadErrorPercent = drawn(random, ranges.unit.loadErrorPercent);
  const node = { loadErrorPercent, ...idea.script.node };
  const script = { ...healthyScript(CASE_SITE, 'rtu-01'), ...idea.script, node };
  const shared = idea.groundsElsewhere;
  const transformers =
    shared === undefined ? [] : [{ site: CASE_SITE, units: names, groundsElsewhere: shared }];
  const scenario: Scenario = {
    nowMs: endMs,
    startMs,
    seasonDayAtNow: idea.seasonDay ?? drawn(random, ranges.unit.seasonDay),
    climates: { [CASE_SITE]: CLIMATES[climate] },
    storms: [],
    siteEvents: idea.siteEvents ?? [],
    transformers,
    units: [script],
  };
  const { everyMs = READING_EVERY_MS, station = true } = idea;
  return withWashingsInTime({ cohort, seed, fleet, scenario, endMs, everyMs, station });
}

const ALL_CLIMATES: readonly ClimateName[] = [
  'windy-harbour',
  'humid-coast',
  'high-plain',
  'rainy-valley',
];

function unitDocument(
  id: string,
  grounding: Grounding,
  drive: boolean,
  { random, ranges }: CaseDraw,
): object {
  const compressorAmps = Math.round(drawn(random, ranges.unit.fullLoadAmps));
  const fanAmps = Math.max(2, Math.round(compressorAmps / 4));
  return {
    id,
    supply: { volts: oneOf(random, VOLTS[grounding]), hertz: 60, grounding },
    contactors: [
      { name: 'C1', load: 'compressor 1', poles: 3, fla: compressorAmps },
      { name: 'C2', load: 'fans', poles: 3, fla: fanAmps },
    ],
    drive,
    node: { supply: random.uniform() < 0.5 ? 'battery' : 'unit-24v' },
  };
}
