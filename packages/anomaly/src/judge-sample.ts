import type { ChannelValues, Reading } from '@lineside/readings';
import type { DetectorStep } from './detectors/detector-step.ts';
import { filmBand, filmPercentAt, stepFilmHumidity } from './detectors/film-humidity.ts';
import {
  fellWithLoad,
  isCapacitive,
  type LeakageContext,
  stepLeakage,
  tellsHealth,
} from './detectors/leakage.ts';
import {
  healthyLevel,
  leastSeenMilliamps,
  seenMilliampsPerAmp,
  stepLeakageBaseline,
} from './detectors/leakage-baseline.ts';
import { stepLeakageLevel } from './detectors/leakage-level.ts';
import { leakageLimits, type SeenBefore } from './detectors/leakage-limits.ts';
import { climbsSteeply, stepLeakageRise } from './detectors/leakage-rise.ts';
import { stepLeakageSide, whatRestSays } from './detectors/leakage-side.ts';
import { cameAtOnceMs } from './detectors/leakage-step.ts';
import { loadStage } from './detectors/load-stage.ts';
import { stepMoisture } from './detectors/moisture.ts';
import { isSettled, mayStart, stepOperatingState } from './detectors/operating-state.ts';
import { stepOutdoor } from './detectors/outdoor.ts';
import type { DetectorParameters } from './detectors/parameters.ts';
import { stepPhaseLoss } from './detectors/phase-loss.ts';
import { stepPhaseTrack } from './detectors/phase-track.ts';
import { ageRepeatFuse, openedFuses } from './detectors/repeat-fuse.ts';
import { type Sample, withoutOffset } from './detectors/sample.ts';
import {
  hasJumped,
  type SensorCredibility,
  sensorCredibility,
  stepSensor,
} from './detectors/sensor.ts';
import { marked } from './detectors/sensor-mark.ts';
import { stepSupplyLoss } from './detectors/supply-loss.ts';
import { stepUnbalance } from './detectors/unbalance.ts';
import { compartmentIsWet, stepWetness } from './detectors/wetness.ts';
import type { LeakageEstimate } from './response/humidity-curve.ts';
import { wetDayBeyondLimit } from './response/leakage-outlook.ts';
import { responseIsDue, stepLeakageResponse } from './response/leakage-response.ts';
import { stepPower } from './site/power-spells.ts';
import type { FindingChange, WettingEpisode } from './vocabulary.ts';
import type { WatchState } from './watch-state.ts';

/** Humidity that is older says nothing of the leakage of now. */
const HUMIDITY_STALE_MS = 1_800_000;

const NO_EPISODES: readonly WettingEpisode[] = [];

export interface JudgedSample {
  readonly state: WatchState;
  readonly changes: readonly FindingChange[];
  readonly episodes: readonly WettingEpisode[];
}

/** Collects what the detectors say while their slices are taken over. */
class Findings {
  readonly changes: FindingChange[] = [];

  take<Slice>(step: DetectorStep<Slice>): Slice {
    if (step.changes.length > 0) this.changes.push(...step.changes);
    return step.slice;
  }
}

/** One instant through all detectors, in the order in which they reason from each other. */
export function judgeSample(
  before: WatchState,
  sample: Sample,
  instantChannels: ChannelValues,
  report: Reading | null,
  parameters: DetectorParameters,
): JudgedSample {
  const { atMs, air } = sample;
  const findings = new Findings();
  const outdoor = stepOutdoor(before.outdoor, report);
  const operating = stepOperatingState(before.operating, sample, parameters);
  const settled = isSettled(operating, atMs);
  const wetted = air === null ? null : stepWetness(before.wetness, sample, air, outdoor);
  const wetness = wetted === null ? before.wetness : wetted.slice;
  const film = air === null ? before.film : stepFilmHumidity(before.film, atMs, air);
  const sensor = findings.take(
    stepSensor(before, sample, operating, outdoor, wetness.waterIsAbout, parameters),
  );
  const credible = sensorCredibility(sensor);
  const { level, baseline, side, rise, response, leakage } =
    settled && credible.leakage
      ? judgeLeakage(before, { operating, wetness, film, sensor }, sample, parameters, findings)
      : before;
  const phases = judgePhases(
    before,
    { operating, wetness, film, level },
    sample,
    credible,
    parameters,
    findings,
  );
  let { moisture } = before;
  if (air !== null) {
    moisture = findings.take(
      stepMoisture(moisture, atMs, {
        wetness,
        outdoor,
        level,
        operating,
        humidityIsCredible: credible.humidity,
        fuses: openedFuses(before.repeatFuse),
      }),
    );
  }
  const repeatFuse = findings.take(ageRepeatFuse(before.repeatFuse, atMs));
  return {
    state: {
      version: before.version,
      instantMs: atMs,
      instantChannels,
      operating,
      power: stepPower(before.power, sample, operating.state),
      outdoor,
      wetness,
      film,
      level,
      baseline,
      side,
      rise,
      response,
      leakage,
      supplyLoss: phases.supplyLoss,
      phaseLoss: phases.phaseLoss,
      phaseTrack: phases.phaseTrack,
      unbalance: phases.unbalance,
      moisture,
      repeatFuse,
      sensor,
    },
    changes: marked(findings.changes, credible),
    episodes: wetted === null ? NO_EPISODES : wetted.episodes,
  };
}

type PhaseSlices = Pick<WatchState, 'supplyLoss' | 'phaseLoss' | 'phaseTrack' | 'unbalance'>;

function judgePhases(
  state: WatchState,
  { operating, wetness, film, level }: Pick<WatchState, 'operating' | 'wetness' | 'film' | 'level'>,
  sample: Sample,
  credible: SensorCredibility,
  parameters: DetectorParameters,
  findings: Findings,
): PhaseSlices {
  const { atMs, currents } = sample;
  if (currents === null && sample.groundVolts === null && sample.lineVolts === null) return state;
  const supplyLoss = findings.take(
    stepSupplyLoss(state.supplyLoss, sample, { operating, level, wetness, parameters }, state),
  );
  let { phaseLoss, phaseTrack, unbalance } = state;
  if (isSettled(operating, atMs)) {
    const { stages } = unbalance.current;
    const leakage = { now: level, before: state.level };
    phaseLoss = findings.take(
      stepPhaseLoss(phaseLoss, sample, operating, leakage, stages, credible.phases, parameters),
    );
    const { a, b, c } = credible.phases;
    const whole = phaseLoss.readings === 0 && !phaseLoss.standing;
    const believed = a && b && c && whole ? sample : { ...sample, currents: null };
    unbalance = findings.take(stepUnbalance(unbalance, believed, operating, parameters));
    const filmPercent = filmPercentAt(film, atMs);
    if (operating.state === 'idle' && believed.currents !== null && filmPercent !== null) {
      phaseTrack = findings.take(
        stepPhaseTrack(phaseTrack, atMs, believed.currents, filmPercent, wetness.celsius ?? 20),
      );
    }
  }
  return { supplyLoss, phaseLoss, phaseTrack, unbalance };
}

type LeakageSlices = Pick<
  WatchState,
  'level' | 'baseline' | 'side' | 'rise' | 'response' | 'leakage'
>;

function seenBefore(
  { baseline, leakage }: WatchState,
  stage: number,
  unlearned: boolean,
  atMs: number,
): SeenBefore {
  const { firstAtMs, onsetMs } = leakage;
  const sinceTheFirst = firstAtMs !== null && onsetMs === firstAtMs && !fellWithLoad(leakage);
  return {
    leastMilliamps: unlearned ? leastSeenMilliamps(baseline, stage) : null,
    milliampsPerAmp: unlearned ? seenMilliampsPerAmp(baseline, stage) : 0,
    sinceTheFirstMs: sinceTheFirst ? atMs - firstAtMs : null,
  };
}

function humidityNow(
  { atMs, humidityPercent }: WatchState['wetness'],
  nowMs: number,
): number | null {
  return atMs !== null && nowMs - atMs <= HUMIDITY_STALE_MS ? humidityPercent : null;
}

function judgeLeakage(
  state: WatchState,
  {
    operating,
    wetness,
    film,
    sensor,
  }: Pick<WatchState, 'operating' | 'wetness' | 'film' | 'sensor'>,
  sent: Sample,
  parameters: DetectorParameters,
  findings: Findings,
): LeakageSlices {
  const sample = withoutOffset(sent, sensor.drift.offsetMilliamps ?? 0);
  const { atMs, leakageMilliamps: milliamps } = sample;
  if (milliamps === null) return state;
  const wet = compartmentIsWet(wetness);
  const rise = stepLeakageRise(state.rise, atMs, milliamps);
  const stage = loadStage(operating, parameters);
  const filmPercent = filmPercentAt(film, atMs);
  const band = filmPercent === null ? null : filmBand(filmPercent);
  const healthy =
    band === null ? null : healthyLevel(state.baseline, stage, band, operating.largestAmps);
  const healthyMilliamps = healthy?.milliamps ?? null;
  const level = stepLeakageLevel(
    state.level,
    sample,
    operating,
    wet,
    filmPercent,
    healthyMilliamps,
    parameters,
  );
  const seen = seenBefore(state, stage, healthy === null, atMs);
  const limits = leakageLimits(healthy, operating, seen, parameters);
  const excessMilliamps = milliamps - (healthyMilliamps ?? 0);
  const sinceMs = cameAtOnceMs(level.step, excessMilliamps);
  const { state: load } = operating;
  const side =
    band !== null && (load === 'idle' || load === 'running')
      ? stepLeakageSide(state.side, atMs, excessMilliamps, load, band)
      : state.side;
  const context: LeakageContext = {
    level,
    limits,
    operating,
    rest:
      band === null || healthy === null
        ? 'unseen'
        : whatRestSays(side, atMs, excessMilliamps, band, sinceMs),
    climbing: limits.baselineMilliamps !== null && climbsSteeply(rise, limits),
    wet,
    fuses: openedFuses(state.repeatFuse),
    doorOpen: sample.doorOpen,
    humidityPercent: humidityNow(wetness, atMs),
    filmPercent,
    capacitive: isCapacitive(sample.leakageResistiveMilliamps, excessMilliamps),
    addsAsNumber: hasJumped(sensor),
    frozen: (wetness.celsius ?? 1) <= 0,
    wetDay: wetDayToCome(state, parameters),
  };
  const leakage = findings.take(stepLeakage(state.leakage, atMs, milliamps, context, parameters));
  const teaches = tellsHealth(leakage, limits, operating);
  const baseline = teaches
    ? judgeBaseline(state, operating, sample.doorOpen, atMs, milliamps, stage, band)
    : state.baseline;
  const response = judgeResponse(state.response, sample, milliamps, stage, {
    operating,
    wetness,
    filmPercent,
  });
  return { level, baseline, side, rise, response, leakage };
}

/** Not with the door open, nor while a load may still be starting: sensors err more then. */
function judgeBaseline(
  { baseline, operating: before }: WatchState,
  operating: WatchState['operating'],
  doorOpen: boolean,
  atMs: number,
  milliamps: number,
  stage: number,
  band: number | null,
): WatchState['baseline'] {
  if (doorOpen || stage < 0 || band === null || mayStart(operating, before)) return baseline;
  return stepLeakageBaseline(baseline, atMs, milliamps, stage, band, operating.largestAmps);
}

/** Asked for only where it could change something: it costs more than all the rest. */
function wetDayToCome(
  { leakage, response }: WatchState,
  parameters: DetectorParameters,
): LeakageEstimate | null {
  return leakage.standing === 'routine' ? wetDayBeyondLimit(response, parameters) : null;
}

interface ResponseContext extends Pick<WatchState, 'operating' | 'wetness'> {
  readonly filmPercent: number | null;
}

function judgeResponse(
  slice: WatchState['response'],
  sample: Sample,
  milliamps: number,
  stage: number,
  { operating, wetness, filmPercent }: ResponseContext,
): WatchState['response'] {
  const { atMs, doorOpen } = sample;
  if (filmPercent === null || stage < 0 || doorOpen || !responseIsDue(slice, atMs)) return slice;
  return stepLeakageResponse(slice, atMs, {
    milliamps,
    resistiveMilliamps: sample.leakageResistiveMilliamps,
    peakMilliamps: sample.leakagePeakMilliamps,
    bursts: sample.leakageBursts,
    stage,
    largestAmps: operating.largestAmps,
    filmPercent,
    celsius: wetness.celsius,
  });
}
