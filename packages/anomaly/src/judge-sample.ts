import type { ChannelValues, Reading } from '@lineside/readings';
import { besideFuses } from './detectors/beside-fuses.ts';
import { type DetectorStep, NO_CHANGES } from './detectors/detector-step.ts';
import { filmPercentAt, stepFilmHumidity } from './detectors/film-humidity.ts';
import { stepMoisture } from './detectors/moisture.ts';
import { isSettled, stepOperatingState } from './detectors/operating-state.ts';
import { stepOutdoor } from './detectors/outdoor.ts';
import type { DetectorParameters } from './detectors/parameters.ts';
import { stepPhaseLoss } from './detectors/phase-loss.ts';
import { makesUneven, stepPhaseTrack } from './detectors/phase-track.ts';
import { ageRepeatFuse, openedFuses } from './detectors/repeat-fuse.ts';
import type { Sample } from './detectors/sample.ts';
import { type SensorCredibility, sensorCredibility, stepSensor } from './detectors/sensor.ts';
import { marked } from './detectors/sensor-mark.ts';
import { stepSupplyLoss } from './detectors/supply-loss.ts';
import { stepUnbalance } from './detectors/unbalance.ts';
import { stepWetness } from './detectors/wetness.ts';
import { judgeLeakage } from './judge-leakage.ts';
import { stepPower } from './site/power-spells.ts';
import type { FindingChange, WettingEpisode } from './vocabulary.ts';
import type { WatchState } from './watch-state.ts';

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
      ? findings.take(
          judgeLeakage(before, { operating, wetness, film, sensor }, sample, parameters),
        )
      : before;
  const phases = judgePhases(
    before,
    { operating, wetness, film, level },
    sample,
    credible,
    parameters,
    findings,
  );
  const moisture = findings.take(
    judgeMoisture(before, { outdoor, wetness, level, operating }, air !== null, atMs, credible),
  );
  const repeatFuse = findings.take(
    ageRepeatFuse(before.repeatFuse, atMs, () => besideFuses(before, atMs)),
  );
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

/** Moisture is judged by instants that bring the compartment's air. */
function judgeMoisture(
  { moisture, repeatFuse }: WatchState,
  {
    outdoor,
    wetness,
    level,
    operating,
  }: Pick<WatchState, 'outdoor' | 'wetness' | 'level' | 'operating'>,
  hasAir: boolean,
  atMs: number,
  { humidity }: SensorCredibility,
): DetectorStep<WatchState['moisture']> {
  if (!hasAir) return { slice: moisture, changes: NO_CHANGES };
  const fuses = openedFuses(repeatFuse);
  // Field by field: spreading an object is several times slower, and this runs for each reading.
  const context = { outdoor, wetness, level, operating, humidityIsCredible: humidity, fuses };
  return stepMoisture(moisture, atMs, context);
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
    const uneven =
      believed.currents !== null && makesUneven(phaseTrack, believed.currents)
        ? { ...sample, currents: null }
        : believed;
    unbalance = findings.take(stepUnbalance(unbalance, uneven, operating, parameters));
    const filmPercent = filmPercentAt(film, atMs);
    if (operating.state === 'idle' && believed.currents !== null && filmPercent !== null) {
      phaseTrack = findings.take(
        stepPhaseTrack(phaseTrack, atMs, believed.currents, filmPercent, wetness.celsius ?? 20),
      );
    }
  }
  return { supplyLoss, phaseLoss, phaseTrack, unbalance };
}
